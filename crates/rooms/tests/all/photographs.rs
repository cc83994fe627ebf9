//! Photographs on their way in: made by encoders of their own, with all that should not get through.

use jpeg_encoder::{ColorType, Encoder};
use std::fmt::Write as _;
use wakewright_rooms::photograph::{Carried, LONGEST_PHOTOGRAPH_BYTES, media_type, take_in};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;

/// EXIF data, big endian: orientation, then a position directory that says PLACE.
fn exif(turn: u8) -> Vec<u8> {
    let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x02".to_vec();
    exif.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, turn, 0, 0]);
    exif.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
    exif.extend(b"\0\0\0\0PLACE 54N 10E");
    exif
}

/// A picture whose left half is red and whose right half is blue.
fn red_and_blue(width: u16, height: u16) -> Vec<u8> {
    let half = |x: u16| if x < width / 2 { [220, 10, 10] } else { [10, 10, 220] };
    (0..height).flat_map(|_| (0..width).flat_map(half)).collect()
}

fn jpeg(width: u16, height: u16, turn: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 90);
    encoder.add_app_segment(1, &exif(turn)).unwrap();
    encoder.encode(&red_and_blue(width, height), width, height, ColorType::Rgb).unwrap();
    bytes
}

fn png(width: u32, height: u32, colours: png::ColorType, points: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(colours);
    encoder.add_text_chunk("Comment".to_owned(), "PLACE 54N".to_owned()).unwrap();
    encoder.write_header().unwrap().write_image_data(points).unwrap();
    bytes
}

/// Size and points of a kept picture.
fn opened(bytes: &[u8]) -> ((usize, usize), Vec<u8>) {
    let mut decoder = JpegDecoder::new(ZCursor::new(bytes));
    let points = decoder.decode().unwrap();
    (decoder.dimensions().unwrap(), points)
}

fn has(bytes: &[u8], what: &str) -> bool {
    bytes.windows(what.len()).any(|window| window == what.as_bytes())
}

#[test]
fn a_photograph_is_shrunk_turned_and_loses_its_position() {
    // Orientation, size that is kept, and where red stands: EXIF 2.3, table of tag 0x0112.
    let cases = [
        (1, (1600, 800), (0, 400)),
        (3, (1600, 800), (1599, 400)),
        (6, (800, 1600), (400, 0)),
        (8, (800, 1600), (400, 1599)),
    ];
    for (turn, size, (x, y)) in cases {
        let file = jpeg(2400, 1200, turn);
        assert!(has(&file, "PLACE"));
        let kept = take_in("gland.jpeg", &file, Carried::LeftOut).unwrap();
        assert!(!has(&kept.bytes, "PLACE") && !has(&kept.bytes, "Exif"), "orientation {turn}");
        let (kept_size, points) = opened(&kept.bytes);
        assert_eq!(kept_size, size, "orientation {turn}");
        let at = 3 * (y * size.0 + x);
        assert!(points[at] > 180 && points[at + 2] < 60, "orientation {turn}: {:?}", &points[at..at + 3]);
        assert_eq!((kept.name.as_str(), media_type(&kept.bytes)), ("gland.jpg", "image/jpeg"));
    }
    let file = jpeg(640, 480, 1);
    let kept = take_in("gland.jpg", &file, Carried::Kept).unwrap();
    assert_eq!(kept.bytes, file, "kept on purpose: as it came");
    assert_eq!(kept.digest, take_in("other.jpg", &file, Carried::LeftOut).unwrap().digest);
}

#[test]
fn a_png_becomes_a_jpeg_on_white() {
    let clear: Vec<u8> = (0..64 * 64).flat_map(|_| [0, 0, 0, 0]).collect();
    let kept = take_in("screen.png", &png(64, 64, png::ColorType::Rgba, &clear), Carried::LeftOut).unwrap();
    let (size, points) = opened(&kept.bytes);
    assert_eq!((size, kept.name.as_str()), ((64, 64), "screen.jpg"));
    assert!(points.iter().all(|&value| value > 250) && !has(&kept.bytes, "PLACE"));
    let grey = vec![90; 64 * 64];
    let kept = take_in("grey.png", &png(64, 64, png::ColorType::Grayscale, &grey), Carried::LeftOut).unwrap();
    assert!(opened(&kept.bytes).1.iter().all(|&value| (85..=95).contains(&value)));
}

#[test]
fn what_is_no_photograph_is_refused_in_words() {
    let mut lie = jpeg(64, 64, 1);
    // The frame header: 8,000 by 8,000 points in a file of a few kilobytes.
    let frame = lie.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    lie[frame + 5..frame + 9].copy_from_slice(&[0x1f, 0x40, 0x1f, 0x40]);
    let mut huge = lie.clone();
    huge[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    let mut swelling = png(2048, 2048, png::ColorType::Grayscale, &vec![0; 2048 * 2048]);
    let cut = jpeg(640, 480, 1)[..400].to_vec();
    let one = png(1, 1, png::ColorType::Grayscale, &[0]);
    let long = vec![0xff; LONGEST_PHOTOGRAPH_BYTES + 1];
    let said = [
        (&lie, "too few bytes"),
        (&huge, "more than 64 million"),
        (&one, "show nothing"),
        (&cut, "cannot be read"),
        (&long, "at most 30 MB"),
        (&b"GIF89a and so on".to_vec(), "neither JPEG nor PNG"),
        (&b"\0\0\0\x18ftypheic....".to_vec(), "another kind"),
        (&Vec::new(), "neither JPEG nor PNG"),
    ];
    for (file, words) in said {
        let why = take_in("holiday.jpg", file, Carried::LeftOut).unwrap_err();
        assert!(why.starts_with("holiday.jpg: ") && why.contains(words), "{why}");
    }
    // A thousandfold: what the bytes swell to is bounded by what the header was allowed to say.
    swelling.truncate(swelling.len() - 20);
    assert!(take_in("swelling.png", &swelling, Carried::LeftOut).is_err());
}

#[test]
fn a_name_does_no_harm() {
    let file = jpeg(64, 64, 1);
    let cases = [
        ("../../etc/passwd", "passwd.jpg"),
        ("C:\\boat\\anode.JPG", "anode.jpg"),
        ("\"><script>.jpg", "script.jpg"),
        ("..", "photograph.jpg"),
        ("pröpeller (2).jpg", "pröpeller (2).jpg"),
    ];
    for (name, kept) in cases {
        assert_eq!(take_in(name, &file, Carried::LeftOut).unwrap().name, kept);
    }
    let mut long = String::new();
    (0..500).for_each(|number| write!(long, "{number}").unwrap());
    assert!(take_in(&long, &file, Carried::LeftOut).unwrap().name.len() < 90);
}
