//! The drawings of the forms, in mm at their usual sizes. Sizes: common practice, no source.
//!
//! A drawing runs from the lower shoulder over heel and tip to the upper shoulder. `x = 0` is the shoulder line, `y = 0` the middle of the
//! shoulder. Headings are degrees from the x axis: the edge is drawn forward (about 0), the spine back (about 180).

use super::stroke::{Drawing, Handle, corner, smooth};
use super::{StarterForm, StarterSizes};
use crate::knife::LandmarkKind::{Heel, LowerShoulder, Tip, UpperShoulder};

const fn form(key: &'static str, name: &'static str, hint: &'static str) -> StarterForm {
    StarterForm { key, name, hint }
}

const fn sizes(overall_mm: f64, blade_mm: f64, height_mm: f64, stock_mm: f64) -> StarterSizes {
    StarterSizes {
        overall_mm,
        blade_mm,
        height_mm,
        stock_mm,
    }
}

/// The drawing of a form.
pub(super) fn drawing(key: &str) -> Option<&'static Drawing> {
    DRAWINGS.iter().find(|drawing| drawing.form.key == key)
}

/// How many forms there are.
const COUNT: usize = DRAWINGS.len();

/// Names of all forms, in the order of the drawings.
pub(super) static NAMES: [StarterForm; COUNT] = {
    let mut names = [form("", "", ""); COUNT];
    let mut i = 0;
    while i < COUNT {
        names[i] = DRAWINGS[i].form;
        i += 1;
    }
    names
};

/// All drawings.
const DRAWINGS: &[Drawing] = &[
    Drawing {
        form: form(
            "paring",
            "Paring knife",
            "peels and trims fruit in the hand",
        ),
        sizes: sizes(160.0, 80.0, 21.0, 2.0),
        shoulder_mm: 15.0,
        blade: &[
            corner(0.0, -7.5).leave(0.0, 4.0).mark(LowerShoulder),
            corner(8.0, -13.6)
                .arrive(-84.0, 3.6)
                .leave(-1.5, 30.0)
                .mark(Heel),
            corner(80.0, -8.0)
                .arrive(21.0, 15.0)
                .leave(147.7, 28.4)
                .mark(Tip),
            corner(0.0, 7.5).arrive(180.0, 30.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Hidden {
            root: 0.62,
            end: 0.42,
        },
    },
    Drawing {
        form: form(
            "utility",
            "Utility knife",
            "cuts bread, cheese and sausage at home or away",
        ),
        sizes: sizes(240.0, 125.0, 27.0, 2.2),
        shoulder_mm: 21.0,
        blade: &[
            corner(0.0, -10.5).leave(0.0, 5.0).mark(LowerShoulder),
            corner(10.0, -16.2)
                .arrive(-84.0, 3.4)
                .leave(-1.2, 48.0)
                .mark(Heel),
            corner(125.0, -3.0)
                .arrive(27.0, 29.0)
                .leave(161.6, 41.0)
                .mark(Tip),
            corner(0.0, 10.5).arrive(180.0, 55.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 1.05,
            belly: 0.09,
            drop: 0.12,
            finger: 0.05,
            hook: 0.07,
        },
    },
    Drawing {
        form: form("kitchen", "Kitchen knife", "chops and slices on the board"),
        sizes: sizes(335.0, 210.0, 48.0, 3.0),
        shoulder_mm: 25.0,
        blade: &[
            corner(0.0, -12.5).leave(0.0, 8.0).mark(LowerShoulder),
            corner(14.0, -34.6)
                .arrive(-88.0, 12.0)
                .leave(-1.2, 90.0)
                .mark(Heel),
            corner(210.0, -16.0)
                .arrive(28.0, 40.0)
                .leave(155.0, 66.0)
                .mark(Tip),
            corner(0.0, 12.5).arrive(180.0, 100.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 1.02,
            belly: 0.08,
            drop: 0.2,
            finger: 0.05,
            hook: 0.16,
        },
    },
    Drawing {
        form: form(
            "slicer",
            "Slicer",
            "draws long thin slices off a roast or a ham",
        ),
        sizes: sizes(385.0, 260.0, 34.0, 2.5),
        shoulder_mm: 23.0,
        blade: &[
            corner(0.0, -11.5).leave(0.0, 6.0).mark(LowerShoulder),
            corner(11.0, -21.8)
                .arrive(-86.0, 5.5)
                .leave(-0.8, 110.0)
                .mark(Heel),
            corner(260.0, -6.0)
                .arrive(20.0, 46.0)
                .leave(165.3, 67.0)
                .mark(Tip),
            corner(0.0, 11.5).arrive(180.0, 110.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 1.08,
            belly: 0.06,
            drop: 0.17,
            finger: 0.04,
            hook: 0.1,
        },
    },
    Drawing {
        form: form(
            "grafting",
            "Grafting knife",
            "makes flat clean cuts on scions and stocks",
        ),
        sizes: sizes(180.0, 70.0, 19.0, 2.5),
        shoulder_mm: 17.0,
        blade: &[
            corner(0.0, -8.5).leave(0.0, 1.5).mark(LowerShoulder),
            corner(5.0, -10.4).arrive(-75.0, 1.3).mark(Heel),
            corner(70.0, -10.4).leave(132.0, 25.4).mark(Tip),
            smooth(36.0, 8.5, 180.0, 11.0, 12.0),
            corner(0.0, 8.5).arrive(180.0, 12.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 1.0,
        handle: Handle::Full {
            butt: 1.16,
            belly: 0.12,
            drop: 0.12,
            finger: 0.04,
            hook: 0.03,
        },
    },
    Drawing {
        form: form("hunter", "Hunter", "opens, dresses and joints game"),
        sizes: sizes(212.0, 100.0, 28.0, 3.5),
        shoulder_mm: 22.5,
        blade: &[
            corner(0.0, -11.25).leave(-4.0, 3.0).mark(LowerShoulder),
            corner(8.5, -12.2).arrive(-6.0, 3.0).leave(85.0, 2.1),
            corner(12.0, -13.4)
                .arrive(-85.0, 2.3)
                .leave(-3.0, 32.0)
                .mark(Heel),
            corner(100.0, -1.0)
                .arrive(48.0, 19.0)
                .leave(155.4, 30.8)
                .mark(Tip),
            corner(0.0, 11.25).arrive(181.0, 40.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 0.98,
            belly: 0.15,
            drop: 0.15,
            finger: 0.11,
            hook: 0.14,
        },
    },
    Drawing {
        form: form(
            "bush",
            "Bush knife",
            "carves, splits kindling and makes fire",
        ),
        sizes: sizes(215.0, 100.0, 27.0, 4.0),
        shoulder_mm: 24.5,
        blade: &[
            corner(0.0, -12.25).leave(0.0, 2.5).mark(LowerShoulder),
            corner(6.0, -14.0)
                .arrive(-70.0, 1.4)
                .leave(-0.5, 40.0)
                .mark(Heel),
            corner(100.0, 2.5)
                .arrive(50.0, 21.0)
                .leave(150.0, 19.5)
                .mark(Tip),
            smooth(58.0, 12.25, 180.0, 12.0, 19.0),
            corner(0.0, 12.25).arrive(180.0, 19.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 1.0,
        handle: Handle::Full {
            butt: 1.02,
            belly: 0.12,
            drop: 0.05,
            finger: 0.05,
            hook: 0.06,
        },
    },
    Drawing {
        form: form(
            "skinner",
            "Skinner",
            "parts hide from flesh with a long round belly",
        ),
        sizes: sizes(205.0, 95.0, 34.0, 3.2),
        shoulder_mm: 23.0,
        blade: &[
            corner(0.0, -11.5).leave(-10.0, 3.0).mark(LowerShoulder),
            corner(8.0, -12.8).arrive(-10.0, 3.0).leave(80.0, 2.1),
            corner(11.3, -14.5)
                .arrive(-85.0, 2.4)
                .leave(-14.0, 40.0)
                .mark(Heel),
            corner(95.0, 14.0)
                .arrive(70.0, 36.0)
                .leave(187.8, 30.3)
                .mark(Tip),
            corner(0.0, 11.5).arrive(178.0, 30.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 0.98,
            belly: 0.14,
            drop: 0.2,
            finger: 0.11,
            hook: 0.14,
        },
    },
    Drawing {
        form: form(
            "camp",
            "Camp knife",
            "limbs, splits and still cuts the supper",
        ),
        sizes: sizes(350.0, 220.0, 43.0, 5.0),
        shoulder_mm: 28.0,
        blade: &[
            corner(0.0, -14.0).leave(-1.0, 8.0).mark(LowerShoulder),
            corner(18.0, -26.5)
                .arrive(-80.0, 7.0)
                .leave(-2.5, 85.0)
                .mark(Heel),
            corner(220.0, -2.0)
                .arrive(50.0, 34.0)
                .leave(162.0, 54.7)
                .mark(Tip),
            corner(0.0, 14.0).arrive(180.8, 90.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 0.55,
        handle: Handle::Full {
            butt: 0.98,
            belly: 0.1,
            drop: 0.22,
            finger: 0.1,
            hook: 0.24,
        },
    },
    Drawing {
        form: form(
            "chopper",
            "Chopper",
            "clears brush and takes off branches with its own weight",
        ),
        sizes: sizes(400.0, 270.0, 55.0, 5.0),
        shoulder_mm: 26.0,
        blade: &[
            corner(0.0, -13.0).leave(0.0, 7.0).mark(LowerShoulder),
            corner(16.0, -29.0)
                .arrive(-80.0, 7.5)
                .leave(-6.0, 125.0)
                .mark(Heel),
            corner(270.0, -2.0)
                .arrive(75.0, 38.0)
                .leave(149.0, 35.5)
                .mark(Tip),
            smooth(195.0, 16.1, 180.6, 20.0, 65.0),
            corner(0.0, 13.0).arrive(181.22, 65.0).mark(UpperShoulder),
        ],
        plunge: 0.0,
        spine_start: 1.0,
        handle: Handle::Full {
            butt: 0.98,
            belly: 0.08,
            drop: 0.28,
            finger: 0.09,
            hook: 0.34,
        },
    },
];
