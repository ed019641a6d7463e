//! The icon of the window.

use egui::IconData;

/// The drawing, made by `examples/icon.rs`.
const PNG: &[u8] = include_bytes!("../../assets/icon/tangwright-128.png");

/// The icon; none if it can't be read, and then the desktop's own stands in.
pub(super) fn icon() -> Option<IconData> {
    let read = image::load_from_memory_with_format(PNG, image::ImageFormat::Png).ok()?;
    let pixels = read.into_rgba8();
    Some(IconData {
        width: pixels.width(),
        height: pixels.height(),
        rgba: pixels.into_raw(),
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_window_has_an_icon() {
        let icon = super::icon().unwrap();
        assert_eq!((icon.width, icon.height), (128, 128));
        assert_eq!(icon.rgba.len(), 128 * 128 * 4);
    }
}
