//! Rendered scenes as picture files, and where a laid picture carries them.

use image::codecs::png::PngEncoder;
use image::{DynamicImage, RgbImage};
use tangwright::geometry::{Motion, Vec2};
use tangwright::knife::LaidPicture;
use tangwright::tracing::Pixels;

use super::scene::Scene;

/// A picture as a PNG file.
pub(crate) fn png(pixels: &Pixels) -> Vec<u8> {
    let side = |n: usize| u32::try_from(n).unwrap();
    let raw = pixels.rgb().iter().flatten().copied().collect();
    let picture = RgbImage::from_raw(side(pixels.width()), side(pixels.height()), raw).unwrap();
    let mut bytes = Vec::new();
    DynamicImage::from(picture)
        .write_with_encoder(PngEncoder::new(&mut bytes))
        .unwrap();
    bytes
}

/// The corners of the scene's paper as they are typed.
pub(crate) fn typed_corners(scene: &Scene) -> String {
    let corners = scene.paper_seen();
    let typed: Vec<String> = corners.iter().map(|p| format!("{},{}", p.x, p.y)).collect();
    typed.join(" ")
}

/// The motion that carries a scene to where a picture of it, squared by its paper, lies on the bench.
pub(crate) fn carried(scene: &Scene, picture: &LaidPicture) -> Motion {
    let way = picture.bench_from_picture().unwrap();
    let to = scene.paper_seen().map(|p| way.apply(p).unwrap());
    let from = scene.paper_corners();
    let (along, across) = (from[1] - from[0], from[3] - from[0]);
    let (now, up) = (to[1] - to[0], to[3] - to[0]);
    let mirrored = along.cross(across).signum() != now.cross(up).signum();
    let own = if mirrored {
        -along.atan2()
    } else {
        along.atan2()
    };
    let turned = Motion {
        mirrored,
        turn_rad: now.atan2() - own,
        shift: Vec2::ZERO,
    };
    let motion = Motion {
        shift: to[0] - turned.apply(from[0]),
        ..turned
    };
    // The picture is squared: all four corners come to where they are seen.
    for (from, to) in from.iter().zip(to) {
        assert!(motion.apply(*from).distance(to) < 1e-6, "{from} {to}");
    }
    motion
}
