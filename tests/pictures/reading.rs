//! Whole pictures of both formats come in upright and in true colors; what is no picture is refused with the mend.

use image::{DynamicImage, ImageBuffer, Luma, Rgba};
use tangwright::reading::picture::{MOST_BYTES, MOST_SIDE_PX, PictureError, read_picture};

use super::bench::{exif, jpeg, png, slope};

#[test]
fn a_png_comes_in_pixel_by_pixel() {
    let picture = slope(40, 30);
    let read = read_picture(&png(&DynamicImage::ImageRgb8(picture.clone()))).unwrap();
    assert_eq!((read.width(), read.height(), read.shrunk()), (40, 30, 1.0));
    assert!(
        read.rgb()
            .iter()
            .zip(picture.pixels())
            .all(|(a, b)| *a == b.0)
    );
}

#[test]
fn gray_deep_and_see_through_pngs_come_in() {
    let deep = ImageBuffer::from_fn(20, 20, |x, _| Luma([u16::try_from(x * 3000).unwrap()]));
    let read = read_picture(&png(&DynamicImage::ImageLuma16(deep))).unwrap();
    // 16 to 8 bits: 19 × 3000 / 257 rounded.
    assert_eq!(read.rgb()[19], [222; 3]);
    let glass = ImageBuffer::from_fn(20, 20, |_, y| Rgba([0, 0, 0, if y < 10 { 0 } else { 255 }]));
    let read = read_picture(&png(&DynamicImage::ImageRgba8(glass))).unwrap();
    assert_eq!((read.rgb()[0], read.rgb()[399]), ([255; 3], [0; 3]));
}

/// Where the upper left corner of the seen picture is stored, by Exif's table (JEITA CP-3451, 4.6.4, Orientation): row 0 is at its top, bottom,
/// left or right, and column 0 at the other side named.
#[test]
fn a_phone_held_any_way_gives_an_upright_picture() {
    let (width, height) = (48, 32);
    let seen_corner = |note: u8| match note {
        1 => (0, 0),
        2 => (width - 1, 0),
        3 => (width - 1, height - 1),
        4 => (0, height - 1),
        5 => (0, 0),
        6 => (0, height - 1),
        7 => (width - 1, height - 1),
        _ => (width - 1, 0),
    };
    let stored = slope(width, height);
    for note in 1..=8 {
        let read = read_picture(&jpeg(&stored, Some(note))).unwrap();
        let upright = if note >= 5 {
            (height, width)
        } else {
            (width, height)
        };
        assert_eq!(
            (read.width() as u32, read.height() as u32),
            upright,
            "note {note}"
        );
        let (x, y) = seen_corner(note);
        let (own, at) = (read.rgb()[0], stored.get_pixel(x, y).0);
        let off = own.iter().zip(at).map(|(a, b)| a.abs_diff(b)).max();
        // What JPEG at 95 rounds.
        assert!(off < Some(12), "note {note}: {own:?} is not {at:?}");
    }
    // A note that makes no sense, and none at all, leave it as it is stored.
    for bytes in [jpeg(&stored, Some(9)), jpeg(&stored, None)] {
        assert_eq!(read_picture(&bytes).unwrap().width(), 48);
    }
}

#[test]
fn a_png_may_hold_the_note_too() {
    use image::ImageEncoder as _;
    let stored = slope(30, 20);
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_exif_metadata(exif(6)).unwrap();
    encoder
        .write_image(stored.as_raw(), 30, 20, image::ExtendedColorType::Rgb8)
        .unwrap();
    let read = read_picture(&bytes).unwrap();
    assert_eq!((read.width(), read.height()), (20, 30));
    assert_eq!(read.rgb()[0], stored.get_pixel(0, 19).0);
}

#[test]
fn a_large_picture_is_made_smaller_at_once_and_keeps_its_places() {
    let wide = slope(u32::try_from(MOST_SIDE_PX).unwrap() * 2 + 1, 40);
    let read = read_picture(&jpeg(&wide, Some(8))).unwrap();
    assert_eq!(read.shrunk(), 3.0);
    assert_eq!((read.width(), read.height()), (14, 3334));
    // Exif 8: row 0 is at the left, column 0 at the bottom.
    assert!(read.rgb()[0][0] > 195 && read.rgb()[14 * 3333][0] < 5);
}

#[test]
fn what_is_no_picture_is_refused_with_the_mend() {
    let text = |bytes: &[u8]| read_picture(bytes).unwrap_err().to_string();
    assert_eq!(read_picture(&[]), Err(PictureError::Empty));
    assert!(text(b"<svg/>").contains("neither PNG nor JPEG"));
    assert!(text(b"\0\0\0\x18ftypheic\0\0\0\0").contains("HEIC"));
    assert!(text(b"GIF89a").contains("GIF"));
    assert_eq!(
        read_picture(&vec![0; MOST_BYTES + 1]),
        Err(PictureError::TooLarge)
    );
    let tiny = png(&DynamicImage::ImageRgb8(slope(15, 100)));
    assert!(text(&tiny).contains("15 × 100"));
    let whole = png(&DynamicImage::ImageRgb8(slope(40, 40)));
    assert!(text(&whole[..whole.len() / 2]).contains("damaged"));
}
