//! Writes every picture at three widths and in three themes, for looking at:
//! `cargo run -p wakewright-report --example gallery -- <folder>`

mod pictures;
mod sample_page;

use std::path::PathBuf;
use wakewright_picture::{Frame, Theme};

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).map_or_else(|| PathBuf::from("target/gallery"), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    let themes = [(Theme::Light, "light"), (Theme::Dark, "dark"), (Theme::Night, "night")];
    for (name, picture) in pictures::all() {
        for width in [360, 720, 1100] {
            for (theme, theme_name) in themes {
                let drawing = picture.draw(&Frame::new(f64::from(width), theme, name));
                std::fs::write(folder.join(format!("{name}-{width}-{theme_name}.svg")), drawing.svg)?;
            }
        }
    }
    let fonts = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fonts");
    std::fs::create_dir_all(folder.join("fonts"))?;
    for name in ["sans-regular", "sans-semibold", "serif-regular", "serif-semibold"] {
        let file = format!("{name}.woff2");
        std::fs::copy(fonts.join(&file), folder.join("fonts").join(&file))?;
    }
    std::fs::write(folder.join("style.css"), include_str!("../../../web/static/style.css"))?;
    for (_, theme) in themes {
        for width in [360, 1280] {
            let page = sample_page::page(theme, f64::from(width));
            std::fs::write(folder.join(format!("style-sheet-{width}-{theme}.html")), page)?;
        }
    }
    Ok(())
}
