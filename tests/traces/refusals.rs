//! What can't be traced is refused, whatever its pixels are, and tracing stops when it is told to.

use tangwright::geometry::{Contour, Projection};
use tangwright::tracing::{GroundArea, Pixels, TraceError, TraceJob, Traced, trace};

use super::bench::nearness;
use super::scene::Dice;

/// Traces a gray picture whose pixels are 0.25 mm on the bench.
fn tried(
    (width, height): (usize, usize),
    gray: impl FnMut(usize) -> u8,
    keep_going: &mut dyn FnMut(f64) -> bool,
) -> Result<Traced, TraceError> {
    let rgb = (0..width * height).map(gray).map(|v| [v; 3]).collect();
    let pixels = Pixels::new(width, height, rgb, 1.0).unwrap();
    let place = |mm: f64| {
        let (x, y) = (width as f64 * mm, height as f64 * mm);
        [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)].map(Into::into)
    };
    let job = TraceJob {
        pixels: &pixels,
        bench_from_picture: Projection::of_corners(place(1.0), place(0.25)).unwrap(),
        ground: GroundArea::Whole,
        darkness: None,
    };
    trace(&job, keep_going)
}

/// A dark oblong of 300 × 80 pixels in the middle of 400 × 200.
fn oblong(i: usize) -> u8 {
    let (x, y) = (i % 400, i / 400);
    if (50..350).contains(&x) && (60..140).contains(&y) {
        30
    } else {
        200
    }
}

#[test]
fn an_oblong_has_four_sides_and_its_own_size() {
    let found = tried((400, 200), oblong, &mut |_| true).unwrap();
    assert_eq!(found.outline.nodes.len(), 4);
    // 300 × 80 pixels of 0.25 mm.
    let truth =
        Contour::polygon(&[(12.5, 15.0), (87.5, 15.0), (87.5, 35.0), (12.5, 35.0)].map(Into::into));
    let near = nearness(&truth, &found.outline.contour());
    assert!(near.farthest < 0.05, "{near:?}");
}

#[test]
fn bare_ground_and_specks_are_no_knife() {
    let bare = tried((400, 200), |_| 200, &mut |_| true);
    assert_eq!(bare, Err(TraceError::Nothing));
    let speck = |i: usize| if i == 40_200 { 10 } else { 200 };
    let speck = tried((400, 200), speck, &mut |_| true);
    assert_eq!(speck, Err(TraceError::Nothing));
    let tiny = tried((8, 8), |_| 200, &mut |_| true);
    assert_eq!(tiny, Err(TraceError::NoGround));
}

#[test]
fn what_reaches_over_the_border_is_refused() {
    let across = |i: usize| {
        if (70..130).contains(&(i / 400)) {
            30
        } else {
            200
        }
    };
    let found = tried((400, 200), across, &mut |_| true);
    assert_eq!(found, Err(TraceError::Touches("picture")));
}

#[test]
fn noise_is_answered_whatever_it_is() {
    for seed in 0..8 {
        let mut dice = Dice(seed);
        let coarse: Vec<u8> = (0..400).map(|_| dice.next() as u8).collect();
        // Blots of many sizes, or a speck a pixel.
        let block = dice.pick(&[1, 4, 10, 20]);
        let gray = |i: usize| {
            let (x, y) = (i % 200 / block, i / 200 / block);
            coarse[(x * 7 + y * 31) % 400]
        };
        if let Ok(found) = tried((200, 200), gray, &mut |_| true) {
            assert!(found.outline.contour().moments().area > 0.0, "seed {seed}");
        }
    }
}

#[test]
fn it_stops_wherever_it_is_told_to() {
    let mut told = Vec::new();
    let found = tried((400, 200), oblong, &mut |done| {
        told.push(done);
        true
    });
    assert!(found.is_ok());
    assert!(told.is_sorted() && told.iter().all(|d| (0.0..=1.0).contains(d)));
    for most in (0..told.len()).step_by(9) {
        let mut asked = 0;
        let stopped = tried((400, 200), oblong, &mut |_| {
            asked += 1;
            asked <= most
        });
        assert_eq!(stopped, Err(TraceError::Stopped), "after {most}");
        assert_eq!(asked, most + 1, "it asks no more once it was stopped");
    }
}

#[test]
fn how_much_is_done_rises_from_nothing_nearly_to_all() {
    let mut told: Vec<f64> = Vec::new();
    let found = tried((400, 200), oblong, &mut |share| {
        told.push(share);
        true
    });
    assert!(found.is_ok());
    assert!(told.is_sorted(), "{told:?}");
    let (first, last) = (told[0], told[told.len() - 1]);
    assert!(
        (0.0..0.2).contains(&first) && (0.8..=1.0).contains(&last),
        "{told:?}"
    );
    told.dedup();
    assert!(told.len() >= 5, "{told:?}");
}
