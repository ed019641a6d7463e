//! Where the window stood when it was closed.

use serde::{Deserialize, Serialize};

/// Farthest from the desktop's corner that a window is put, and its largest side, screen points.
const FARTHEST: f32 = 16_000.0;
/// The smallest window that is of use, screen points.
pub const LEAST_WINDOW: (f32, f32) = (960.0, 600.0);

/// Place and size of the window, screen points.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WindowPlace {
    /// Left and upper edge, where the desktop tells them.
    pub at: Option<(f32, f32)>,
    /// Width and height of what is inside the frame.
    pub size: (f32, f32),
    /// Whether it fills the screen.
    pub full: bool,
}

impl WindowPlace {
    /// Whether a window can stand so.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let near = |v: f32| (-FARTHEST..=FARTHEST).contains(&v);
        let (width, height) = self.size;
        self.at.is_none_or(|(x, y)| near(x) && near(y))
            && (LEAST_WINDOW.0..=FARTHEST).contains(&width)
            && (LEAST_WINDOW.1..=FARTHEST).contains(&height)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_windows_that_can_stand_are_remembered() {
        let place = |at, size| WindowPlace {
            at,
            size,
            full: false,
        };
        assert!(place(Some((-1280.0, 30.0)), (1440.0, 900.0)).is_sound());
        assert!(place(None, (960.0, 600.0)).is_sound());
        assert!(!place(None, (100.0, 600.0)).is_sound());
        assert!(!place(Some((f32::NAN, 0.0)), (1440.0, 900.0)).is_sound());
        assert!(!place(Some((0.0, 1e9)), (1440.0, 900.0)).is_sound());
    }
}
