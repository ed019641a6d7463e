//! What a JPEG asks of its reader, counted before it is read: its size, and the passes in which it is written.
//!
//! Each pass visits every pixel, and an empty pass takes ten bytes, so that a small file could keep a reader busy for hours. The markers are those of ITU-T
//! Recommendation T.81 (1992), annex B.

/// Size and passes of a JPEG.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Scans {
    /// Passes over the picture.
    pub count: u32,
    /// Whether they are progressive: every coefficient is then kept until the last pass.
    pub progressive: bool,
}

const SOS: u8 = 0xDA;
const PROGRESSIVE: [u8; 3] = [0xC2, 0xC6, 0xCA];

/// Counts the passes. What is broken is counted as far as it goes; the reader itself will complain of it.
pub(super) fn scans_of(bytes: &[u8]) -> Scans {
    let mut scans = Scans::default();
    let mut rest = bytes;
    while let Some((marker, after)) = next_marker(rest) {
        rest = after;
        if PROGRESSIVE.contains(&marker) {
            scans.progressive = true;
        }
        if marker == SOS {
            scans.count = scans.count.saturating_add(1);
        }
        // Markers without a length: padding, restarts, start and end.
        if matches!(marker, 0x00 | 0x01 | 0xD0..=0xD9 | 0xFF) {
            continue;
        }
        let Some([high, low]) = rest.first_chunk::<2>() else {
            break;
        };
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        rest = rest.get(length.max(2)..).unwrap_or_default();
    }
    scans
}

/// The next marker and what follows it; data between markers are passed over.
fn next_marker(bytes: &[u8]) -> Option<(u8, &[u8])> {
    let at = bytes.iter().position(|b| *b == 0xFF)?;
    let (marker, after) = bytes.get(at + 1..)?.split_first()?;
    // A fill byte: the marker begins with the last of them.
    if *marker == 0xFF {
        return Some((*marker, bytes.get(at + 1..)?));
    }
    Some((*marker, after))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_are_counted_past_data_and_fill_bytes() {
        let sof = [0xFF, 0xC2, 0, 8, 8, 0, 9, 0, 9, 0];
        let sos = [0xFF, 0xDA, 0, 8, 1, 1, 0, 0, 0, 0];
        // Data hold an escaped 0xFF; an application segment hides what looks like a pass.
        let data = [1, 2, 0xFF, 0, 3, 0xFF, 0xD0, 4];
        let app = [0xFF, 0xE1, 0, 6, 0xFF, 0xDA, 0, 0];
        let mut bytes = vec![0xFF, 0xD8];
        bytes.extend(app);
        bytes.extend(sof);
        for _ in 0..3 {
            bytes.extend([0xFF, 0xFF]);
            bytes.extend(sos);
            bytes.extend(data);
        }
        bytes.extend([0xFF, 0xD9]);
        let expected = Scans {
            count: 3,
            progressive: true,
        };
        assert_eq!(scans_of(&bytes), expected);
        // Cut off anywhere, it ends.
        for end in 0..bytes.len() {
            assert!(scans_of(&bytes[..end]).count <= 3);
        }
    }
}
