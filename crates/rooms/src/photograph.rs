//! A photograph on its way into the store: looked at, turned upright, shrunk, and stripped of all but its picture.
//! Not for: keeping it (`wakewright_store`).

use std::io::Cursor;
use std::sync::{Mutex, PoisonError};

use jpeg_encoder::{ColorType, Encoder};
use png::Transformations;
use wakewright_store::NewEnclosure;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use crate::trials::digest_of;

/// The longest file that is taken \[bytes\].
pub const LONGEST_PHOTOGRAPH_BYTES: usize = 30_000_000;

/// The longest file that is kept as it came \[bytes\].
const LONGEST_AS_CAME_BYTES: usize = 12_000_000;

/// Fewer points on a side show nothing.
const FEWEST_POINTS: usize = 32;

/// More points than any camera of a phone gives in one go; three bytes of memory each.
const MOST_POINTS: usize = 64_000_000;

/// Of a PNG, which takes seven bytes of memory for each while it is read: screens and scans have fewer.
const MOST_POINTS_PNG: usize = 24_000_000;

/// A picture with fewer bytes than one for so many points is none: an empty JPEG takes about one for 170.
const MOST_POINTS_PER_BYTE: usize = 1_000;

/// The longer side of a photograph as it is kept: a crack shows, and a hundred of them fit on a phone.
const LONGER_SIDE: usize = 1_600;

/// Quality of the JPEG that is kept, of 100.
const QUALITY: u8 = 82;

/// What is done with what the file carries beside its picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carried {
    /// Left out: position, time, camera, thumbnail, notes.
    LeftOut,
    /// Kept: the file stays as it came, place and all.
    Kept,
}

/// A photograph that can be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photograph {
    /// Its name, harmless as a file's.
    pub name: String,
    /// Digest of the file as it came.
    pub digest: String,
    /// The picture to keep.
    pub bytes: Vec<u8>,
}

impl Photograph {
    /// To be kept with an entry of a record; empty for the whole of it.
    #[must_use]
    pub fn enclosed_at<'p>(&'p self, place: &'p str) -> NewEnclosure<'p> {
        let Self { name, digest, bytes } = self;
        NewEnclosure { name, place, plain_bytes: bytes.len() as u64, digest, bytes }
    }
}

/// One after the other: a large one takes 200 MB while it is shrunk.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// Takes in a photograph of that name. It is upright, at most 1,600 points long and a JPEG afterwards, unless it is
/// to stay as it came.
///
/// # Errors
/// In words: too long, no JPEG and no PNG, too small, too large, or broken.
pub fn take_in(name: &str, file: &[u8], carried: Carried) -> Result<Photograph, String> {
    let name = harmless(name);
    let why = |why: String| format!("{name}: {why}");
    if file.len() > LONGEST_PHOTOGRAPH_BYTES {
        let most = LONGEST_PHOTOGRAPH_BYTES / 1_000_000;
        return Err(why(format!("a photograph has at most {most} MB; send it smaller.")));
    }
    let _one = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let (picture, turn) = match kind_of(file) {
        Ok(Kind::Jpeg) => read_jpeg(file),
        Ok(Kind::Png) => read_png(file).map(|picture| (picture, 1)),
        Err(other) => Err(other),
    }
    .map_err(why)?;
    let bytes = match carried {
        Carried::Kept if file.len() > LONGEST_AS_CAME_BYTES => {
            let most = LONGEST_AS_CAME_BYTES / 1_000_000;
            return Err(why(format!(
                "a photograph that stays as it came has at most {most} MB; send it without its position."
            )));
        }
        Carried::Kept => file.to_vec(),
        Carried::LeftOut => picture.shrunk().upright(turn).to_jpeg().map_err(why)?,
    };
    let name = if bytes.starts_with(&JPEG) { with_ending(&name, "jpg") } else { with_ending(&name, "png") };
    Ok(Photograph { name, digest: digest_of(file), bytes })
}

/// The kind of a kept picture, as a browser is told it.
#[must_use]
pub fn media_type(bytes: &[u8]) -> &'static str {
    if bytes.starts_with(&PNG) { "image/png" } else { "image/jpeg" }
}

const JPEG: [u8; 3] = [0xff, 0xd8, 0xff];
const PNG: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

enum Kind {
    Jpeg,
    Png,
}

/// By what stands at the front, whatever the name says.
fn kind_of(file: &[u8]) -> Result<Kind, String> {
    if file.starts_with(&JPEG) {
        Ok(Kind::Jpeg)
    } else if file.starts_with(&PNG) {
        Ok(Kind::Png)
    } else if file.get(4..8) == Some(b"ftyp") {
        Err("this is no JPEG but another kind that some phones write, or a film; set the camera to its most \
             compatible kind, or send a screenshot."
            .to_owned())
    } else {
        Err("neither JPEG nor PNG, whatever its name says.".to_owned())
    }
}

/// Refuses what its header says, before a byte of memory is taken for it.
fn refuse_size(width: usize, height: usize, bytes: usize) -> Result<(), String> {
    let points = width.saturating_mul(height);
    if width.min(height) < FEWEST_POINTS {
        Err(format!("{width} by {height} points show nothing; a photograph has {FEWEST_POINTS} on a side."))
    } else if points > MOST_POINTS {
        Err(format!(
            "{width} by {height} points are more than {} million; send it smaller.",
            MOST_POINTS / 1_000_000
        ))
    } else if points > bytes.saturating_mul(MOST_POINTS_PER_BYTE) {
        Err(format!("it says that it has {width} by {height} points, and has too few bytes for that."))
    } else {
        Ok(())
    }
}

fn broken(why: impl std::fmt::Display) -> String {
    format!("it cannot be read, it may not have arrived whole ({why}).")
}

/// The picture, and how it has to be turned.
fn read_jpeg(file: &[u8]) -> Result<(Picture, u16), String> {
    let options = DecoderOptions::default()
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(Cursor::new(file), options);
    decoder.decode_headers().map_err(broken)?;
    let (width, height) = decoder.dimensions().ok_or_else(|| broken("no size"))?;
    refuse_size(width, height, file.len())?;
    let points = decoder.decode().map_err(broken)?;
    let turn = decoder.exif().and_then(|exif| orientation(exif)).unwrap_or(1);
    Ok((Picture::new(width, height, points)?, turn))
}

fn read_png(file: &[u8]) -> Result<Picture, String> {
    let mut decoder = png::Decoder::new(Cursor::new(file));
    decoder.set_transformations(Transformations::normalize_to_color8() | Transformations::ALPHA);
    decoder.set_limits(png::Limits { bytes: 4 * MOST_POINTS });
    let mut reader = decoder.read_info().map_err(broken)?;
    let (width, height) = (reader.info().width as usize, reader.info().height as usize);
    refuse_size(width, height, file.len())?;
    if width.saturating_mul(height) > MOST_POINTS_PNG {
        return Err(format!(
            "{width} by {height} points are more than {} million, which is much for a PNG; send it as JPEG or smaller.",
            MOST_POINTS_PNG / 1_000_000
        ));
    }
    let mut buffer = vec![0; reader.output_buffer_size().ok_or_else(|| broken("no size"))?];
    let frame = reader.next_frame(&mut buffer).map_err(broken)?;
    // With alpha always: grey or three colours, on white.
    let on_white = |value: u8, alpha: u8| {
        let (value, alpha) = (u32::from(value), u32::from(alpha));
        u8::try_from((value * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
    };
    let points: Vec<u8> = match frame.color_type {
        png::ColorType::GrayscaleAlpha => {
            buffer.chunks_exact(2).flat_map(|of| [on_white(of[0], of[1]); 3]).collect()
        }
        png::ColorType::Rgba => {
            let colours = |of: &[u8]| [0, 1, 2].map(|colour| on_white(of[colour], of[3]));
            buffer.chunks_exact(4).flat_map(colours).collect()
        }
        other => return Err(broken(format!("its colours are {other:?}"))),
    };
    Picture::new(width, height, points)
}

/// Points in three colours, row by row.
struct Picture {
    width: usize,
    height: usize,
    points: Vec<u8>,
}

impl Picture {
    fn new(width: usize, height: usize, points: Vec<u8>) -> Result<Self, String> {
        if points.len() != 3 * width * height {
            return Err(broken("it ends early"));
        }
        Ok(Self { width, height, points })
    }

    fn at(&self, x: usize, y: usize) -> [u8; 3] {
        let place = 3 * (y * self.width + x);
        [self.points[place], self.points[place + 1], self.points[place + 2]]
    }

    fn made(width: usize, height: usize, point: impl Fn(usize, usize) -> [u8; 3]) -> Self {
        let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let points = places.flat_map(|(x, y)| point(x, y)).collect();
        Self { width, height, points }
    }

    /// Each point the mean of those that it stands for.
    fn shrunk(self) -> Self {
        let longer = self.width.max(self.height);
        if longer <= LONGER_SIDE {
            return self;
        }
        let side = |of: usize| (of * LONGER_SIDE / longer).max(1);
        let (width, height) = (side(self.width), side(self.height));
        Self::made(width, height, |x, y| {
            let span = |place: usize, of: usize, to: usize| place * of / to..(place + 1) * of / to;
            let (across, down) = (span(x, self.width, width), span(y, self.height, height));
            let count = across.len() * down.len();
            let mut sums = [0_usize; 3];
            for (x, y) in down.flat_map(|y| across.clone().map(move |x| (x, y))) {
                for (sum, value) in sums.iter_mut().zip(self.at(x, y)) {
                    *sum += usize::from(value);
                }
            }
            sums.map(|sum| u8::try_from(sum / count).unwrap_or(u8::MAX))
        })
    }

    /// Turned as the camera was held: EXIF 2.3, tag 0x0112, says at which side the first row and column stand.
    fn upright(self, turn: u16) -> Self {
        let (width, height) = (self.width, self.height);
        let (right, below) = (width - 1, height - 1);
        match turn {
            2 => Self::made(width, height, |x, y| self.at(right - x, y)),
            3 => Self::made(width, height, |x, y| self.at(right - x, below - y)),
            4 => Self::made(width, height, |x, y| self.at(x, below - y)),
            5 => Self::made(height, width, |x, y| self.at(y, x)),
            6 => Self::made(height, width, |x, y| self.at(y, below - x)),
            7 => Self::made(height, width, |x, y| self.at(right - y, below - x)),
            8 => Self::made(height, width, |x, y| self.at(right - y, x)),
            _ => self,
        }
    }

    fn to_jpeg(&self) -> Result<Vec<u8>, String> {
        let side = |of: usize| u16::try_from(of).map_err(broken);
        let mut bytes = Vec::new();
        Encoder::new(&mut bytes, QUALITY)
            .encode(&self.points, side(self.width)?, side(self.height)?, ColorType::Rgb)
            .map_err(broken)?;
        Ok(bytes)
    }
}

/// Tag 0x0112 of the first directory of EXIF data, where it has one.
fn orientation(exif: &[u8]) -> Option<u16> {
    let is_little = match exif.get(..2)? {
        b"II" => true,
        b"MM" => false,
        _ => return None,
    };
    let number = |at: usize, length: usize| -> Option<usize> {
        let bytes = exif.get(at..at.checked_add(length)?)?;
        let add = |sum: usize, byte: &u8| sum << 8 | usize::from(*byte);
        Some(if is_little { bytes.iter().rev().fold(0, add) } else { bytes.iter().fold(0, add) })
    };
    let directory = number(4, 4)?;
    let entry = (0..number(directory, 2)?)
        .map(|entry| directory.saturating_add(2 + 12 * entry))
        .find(|&entry| number(entry, 2) == Some(0x0112))?;
    u16::try_from(number(entry + 8, 2)?).ok()
}

/// The last part of a name, without what means something to a shell, a path or a header.
fn harmless(name: &str) -> String {
    /// Longer names are cut.
    const LONGEST: usize = 80;
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let kept = |letter: char| {
        if letter.is_alphanumeric() || " ._-()".contains(letter) { Some(letter) } else { None }
    };
    let name: String = last.chars().filter_map(kept).take(LONGEST).collect();
    let name = name.trim().trim_start_matches('.').trim();
    if name.is_empty() { "photograph".to_owned() } else { name.to_owned() }
}

/// `name` with the ending of what it holds.
fn with_ending(name: &str, ending: &str) -> String {
    let (stem, had) = name.rsplit_once('.').unwrap_or((name, ""));
    let stem = if ["jpg", "jpeg", "png"].contains(&had.to_lowercase().as_str()) { stem } else { name };
    format!("{stem}.{ending}")
}
