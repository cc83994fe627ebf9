//! What the terminal shows when the page is shared: address, code, and a QR code of both.
//! Returns text; prints nothing.

use std::net::SocketAddr;

use qrcode::render::unicode::Dense1x2;
use qrcode::{EcLevel, QrCode};

use crate::config::{GuardConfig, Sharing};
use crate::enter;

/// Black on white, whatever the terminal's own colours are.
const BLACK_ON_WHITE: &str = "\u{1b}[38;5;16;48;5;231m";
const PLAIN: &str = "\u{1b}[0m";

/// What the terminal can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Terminal {
    /// Colours: the QR code is black on white.
    Colour,
    /// No colours: the QR code is right for light text on a dark ground.
    Plain,
}

/// How another device gets to the page; `None` when it is not shared.
#[must_use]
pub fn invitation(config: &GuardConfig, terminal: Terminal) -> Option<String> {
    let sharing = config.sharing.as_ref()?;
    let urls: Vec<String> =
        sharing.addresses().iter().map(|a| format!("http://{}/", SocketAddr::new(*a, config.port))).collect();
    let picture = qr_code(&entry_url(sharing, config.port), terminal).unwrap_or_default();
    Some(format!(
        "On another device on this network open  {}\nand enter the code                     {}\n\n{picture}\n\
         The code holds until this program ends. Nothing is encrypted: share on a network of your own.\n\
         Who tried wrong codes or waits to be let in: http://127.0.0.1:{}{}\n",
        urls.join("  or  "),
        sharing.code().grouped(),
        config.port,
        enter::PATH
    ))
}

/// The address of the entry page with the code in it: scanning leaves only a button to press.
fn entry_url(sharing: &Sharing, port: u16) -> String {
    let address = sharing.addresses().first().map(|a| SocketAddr::new(*a, port).to_string());
    let host = address.unwrap_or_else(|| format!("localhost:{port}"));
    format!("http://{host}{}?{}={}", enter::PATH, enter::FIELD, sharing.code().plain())
}

/// A QR code in half blocks with its quiet zone, one line of text for two rows; `None` when the text
/// is too long for one.
#[must_use]
pub fn qr_code(text: &str, terminal: Terminal) -> Option<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    // "Dark" of the renderer is a drawn block, which has the colour of the terminal's text.
    let (dark, light) = match terminal {
        Terminal::Colour => (Dense1x2::Dark, Dense1x2::Light),
        Terminal::Plain => (Dense1x2::Light, Dense1x2::Dark),
    };
    let drawn = code.render::<Dense1x2>().dark_color(dark).light_color(light).quiet_zone(true).build();
    Some(match terminal {
        Terminal::Plain => drawn + "\n",
        Terminal::Colour => drawn.lines().map(|l| format!("{BLACK_ON_WHITE}{l}{PLAIN}\n")).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Turns half blocks back into pixels (true = drawn), four to a side.
    fn pixels(text: &str) -> Vec<Vec<bool>> {
        let row = |line: &str, drawn: &[char]| -> Vec<bool> {
            line.chars().flat_map(|c| [drawn.contains(&c); 4]).collect()
        };
        text.lines()
            .map(|l| l.replace(BLACK_ON_WHITE, "").replace(PLAIN, ""))
            .flat_map(|l| {
                let (upper, lower) = (row(&l, &['█', '▀']), row(&l, &['█', '▄']));
                [
                    upper.clone(),
                    upper.clone(),
                    upper.clone(),
                    upper,
                    lower.clone(),
                    lower.clone(),
                    lower.clone(),
                    lower,
                ]
            })
            .collect()
    }

    /// Reads with an independent decoder.
    fn read(text: &str, terminal: Terminal) -> String {
        let pixels = pixels(text);
        let drawn_is_dark = terminal == Terminal::Colour;
        let mut image = rqrr::PreparedImage::prepare_from_greyscale(pixels[0].len(), pixels.len(), |x, y| {
            if pixels[y][x] == drawn_is_dark { 0 } else { 255 }
        });
        let grids = image.detect_grids();
        assert_eq!(grids.len(), 1, "{text}");
        grids[0].decode().unwrap().1
    }

    #[test]
    fn another_reader_reads_the_code() {
        for terminal in [Terminal::Colour, Terminal::Plain] {
            let url = "http://192.168.4.2:8321/enter?code=ACDEF346";
            assert_eq!(read(&qr_code(url, terminal).unwrap(), terminal), url);
        }
        assert_eq!(qr_code(&"x".repeat(5000), Terminal::Plain), None);
    }

    #[test]
    fn the_invitation_holds_address_and_code() {
        let sharing = Sharing::new(vec!["192.168.4.2".parse().unwrap()]).unwrap();
        let (grouped, url) = (sharing.code().grouped(), entry_url(&sharing, 8321));
        let config = GuardConfig::shared(8321, sharing);
        let text = invitation(&config, Terminal::Plain).unwrap();
        assert!(text.contains("http://192.168.4.2:8321/") && text.contains(&grouped));
        let picture: String =
            text.lines().filter(|l| l.contains(['█', '▀', '▄'])).map(|l| format!("{l}\n")).collect();
        assert_eq!(read(&picture, Terminal::Plain), url);
        assert!(text.lines().all(|l| l.chars().count() <= 100), "fits a terminal");
        assert_eq!(invitation(&GuardConfig::loopback(8321), Terminal::Plain), None);
    }
}
