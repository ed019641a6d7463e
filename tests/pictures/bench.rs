//! What every test of pictures uses.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{DynamicImage, ImageEncoder, Rgb, RgbImage};

/// A picture whose every pixel tells its place, smooth enough for JPEG to keep.
pub(crate) fn slope(width: u32, height: u32) -> RgbImage {
    let share = |v: u32, of: u32| u8::try_from(200 * v / of.max(1)).unwrap();
    RgbImage::from_fn(width, height, |x, y| {
        Rgb([share(x, width), share(y, height), 90])
    })
}

/// As PNG.
pub(crate) fn png(picture: &DynamicImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    picture.write_with_encoder(encoder).unwrap();
    bytes
}

/// As JPEG, with what a camera notes about how it was held.
pub(crate) fn jpeg(picture: &RgbImage, note: Option<u8>) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, 95);
    if let Some(note) = note {
        encoder.set_exif_metadata(exif(note)).unwrap();
    }
    encoder
        .write_image(
            picture.as_raw(),
            picture.width(),
            picture.height(),
            image::ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes
}

/// The least Exif block that holds an orientation: JEITA CP-3451, section 4.6.2 (TIFF header, one IFD with one SHORT, no next IFD).
pub(crate) fn exif(orientation: u8) -> Vec<u8> {
    let mut block = b"II*\0\x08\0\0\0\x01\0".to_vec();
    block.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0]);
    block.extend([0, 0, 0, 0]);
    block
}
