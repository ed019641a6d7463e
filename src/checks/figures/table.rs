//! The figures themselves, those of a group together.

use super::{Figure, FigureUnit};

/// Longest length a figure can be, mm.
const LONGEST_MM: f64 = 5_000.0;
const LENGTH: (FigureUnit, (f64, f64)) = (FigureUnit::Length, (0.0, LONGEST_MM));
/// A fit may be negative: a press fit.
const FIT: (FigureUnit, (f64, f64)) = (FigureUnit::Length, (-1.0, 5.0));
const TIMES: (FigureUnit, (f64, f64)) = (FigureUnit::Times, (0.0, 20.0));
const SHARE: (FigureUnit, (f64, f64)) = (FigureUnit::Share, (0.0, 1.0));
/// Steel left on for the grinder.
const LEFT: (FigureUnit, (f64, f64)) = (FigureUnit::Length, (0.0, 50.0));
const ANGLE: (FigureUnit, (f64, f64)) = (FigureUnit::Angle, (0.0, std::f64::consts::PI));

const WEBS: &str = "Webs and corners";
pub(super) const CUTTING: &str = "Cutting";
const FILES: &str = "Cutting files";
const HOLES: &str = "Holes, pins, guard";
const TANG: &str = "Tang and bar";
const FIRE: &str = "Furnace and quench tank";
const EDGE: &str = "Edge before the quench";
const FINISHED: &str = "Edge before sharpening";
const GRINDS: &str = "Bevels";
const LAYERS: &str = "Layers";

const PRACTICE: &str = "common practice, no source";
const OURS: &str = "our own choice";
const SERVICES: &str = "what cutting services ask for, see the cutting limits";
const FORUM: &str = "a makers' forum, on peening pins";
const STUBS: &str = "a maker's page on stub tangs";
const SHOPS: &str = "the shop's own; 0 holds nothing against it";
const SOLD: &str = "what is sold, see the stock table";

/// A figure and the field of [`crate::checks::Thresholds`] it is kept in.
macro_rules! figure {
    ($key:expr, $group:expr, $name:expr, $kind:expr, $source:expr, $($field:tt).+) => {
        Figure {
            key: $key,
            group: $group,
            name: $name,
            unit: $kind.0,
            range: $kind.1,
            source: $source,
            read: |t| t.$($field).+,
            field: |t| &mut t.$($field).+,
        }
    };
}

/// All figures, those of a group together.
pub static FIGURES: [Figure; 52] = [
    figure!(
        "web-diameters",
        WEBS,
        "Web, in hole diameters",
        TIMES,
        PRACTICE,
        web_diameters
    ),
    figure!(
        "web-thicknesses",
        WEBS,
        "Web, in stock thicknesses",
        TIMES,
        PRACTICE,
        web_thicknesses
    ),
    figure!(
        "corner-turn",
        WEBS,
        "Bend that counts as a corner",
        ANGLE,
        OURS,
        corner_turn_rad
    ),
    figure!(
        "shoulder-radius",
        WEBS,
        "Least radius at the shoulder",
        LENGTH,
        PRACTICE,
        shoulder_radius_mm
    ),
    figure!(
        "cut-hole-times",
        CUTTING,
        "Smallest opening, in thicknesses",
        TIMES,
        SERVICES,
        process_hole.times_thickness
    ),
    figure!(
        "cut-hole-least",
        CUTTING,
        "Smallest opening at all",
        LENGTH,
        SERVICES,
        process_hole.at_least_mm
    ),
    figure!(
        "cut-web-times",
        CUTTING,
        "Least web, in thicknesses",
        TIMES,
        SERVICES,
        process_web.times_thickness
    ),
    figure!(
        "cut-web-least",
        CUTTING,
        "Least web at all",
        LENGTH,
        SERVICES,
        process_web.at_least_mm
    ),
    figure!(
        "cut-inside-radius",
        CUTTING,
        "Sharpest inside corner",
        LENGTH,
        SERVICES,
        process_inside_radius_mm
    ),
    figure!(
        "left-on",
        FILES,
        "Steel left on all round",
        LEFT,
        OURS,
        left_on_mm
    ),
    figure!(
        "holes-under",
        FILES,
        "Round holes cut smaller by",
        LEFT,
        OURS,
        holes_under_mm
    ),
    figure!(
        "slip-least",
        HOLES,
        "Slip fit, least play",
        FIT,
        PRACTICE,
        slip_mm.0
    ),
    figure!(
        "slip-most",
        HOLES,
        "Slip fit, most play",
        FIT,
        PRACTICE,
        slip_mm.1
    ),
    figure!(
        "tight-least",
        HOLES,
        "Tight fit, least play",
        FIT,
        PRACTICE,
        tight_mm.0
    ),
    figure!(
        "tight-most",
        HOLES,
        "Tight fit, most play",
        FIT,
        PRACTICE,
        tight_mm.1
    ),
    figure!(
        "peened-least",
        HOLES,
        "Hole for a peened pin, least oversize",
        SHARE,
        FORUM,
        peened_share.0
    ),
    figure!(
        "peened-most",
        HOLES,
        "Hole for a peened pin, most oversize",
        SHARE,
        FORUM,
        peened_share.1
    ),
    figure!(
        "drill-off",
        HOLES,
        "How near a hole is to its drill",
        LENGTH,
        OURS,
        drill_off_mm
    ),
    figure!(
        "lanyard-hole",
        HOLES,
        "Smallest lanyard hole",
        LENGTH,
        PRACTICE,
        lanyard_hole_mm
    ),
    figure!(
        "guard-slot-least",
        HOLES,
        "Guard slot, least play",
        FIT,
        PRACTICE,
        guard_slot_mm.0
    ),
    figure!(
        "guard-slot-most",
        HOLES,
        "Guard slot, most play",
        FIT,
        PRACTICE,
        guard_slot_mm.1
    ),
    figure!(
        "hidden-width-least",
        TANG,
        "Hidden tang, least width",
        LENGTH,
        PRACTICE,
        hidden_width_mm.0
    ),
    figure!(
        "hidden-width-most",
        TANG,
        "Hidden tang, most width",
        LENGTH,
        PRACTICE,
        hidden_width_mm.1
    ),
    figure!(
        "hidden-length-least",
        TANG,
        "Hidden tang, least length",
        LENGTH,
        PRACTICE,
        hidden_length_mm.0
    ),
    figure!(
        "hidden-length-most",
        TANG,
        "Hidden tang, most length",
        LENGTH,
        PRACTICE,
        hidden_length_mm.1
    ),
    figure!(
        "stub-width-least",
        TANG,
        "Partial tang, least height",
        LENGTH,
        STUBS,
        stub_width_mm
    ),
    figure!(
        "stub-length-most",
        TANG,
        "Partial tang on one pin, most length",
        LENGTH,
        STUBS,
        stub_length_mm
    ),
    figure!(
        "shoulder-share",
        TANG,
        "Tang at the shoulder, least share of the bar",
        SHARE,
        OURS,
        shoulder_share
    ),
    figure!(
        "wall-least",
        TANG,
        "Least wood round a tang",
        LENGTH,
        PRACTICE,
        wall_mm
    ),
    figure!(
        "grip-height",
        TANG,
        "Tallest grip",
        LENGTH,
        PRACTICE,
        grip_height_mm
    ),
    figure!(
        "landmark-off",
        TANG,
        "How far a landmark may be off",
        LENGTH,
        OURS,
        landmark_off_mm
    ),
    figure!(
        "stock-off",
        TANG,
        "How near the bar is to one sold",
        LENGTH,
        OURS,
        stock_off_mm
    ),
    figure!(
        "widest-bar",
        TANG,
        "Widest bar",
        LENGTH,
        SOLD,
        widest_bar_mm
    ),
    figure!(
        "longest-bar",
        TANG,
        "Longest bar at hand",
        LENGTH,
        SHOPS,
        longest_bar_mm
    ),
    figure!(
        "furnace-length",
        FIRE,
        "Longest steel in the furnace",
        LENGTH,
        SHOPS,
        furnace_mm
    ),
    figure!(
        "tank-length",
        FIRE,
        "Longest steel in the tank",
        LENGTH,
        SHOPS,
        tank_mm
    ),
    figure!(
        "plate-edge",
        EDGE,
        "Least, quenched between plates",
        LENGTH,
        PRACTICE,
        plate_edge_mm
    ),
    figure!(
        "oil-edge",
        EDGE,
        "Least, quenched in oil",
        LENGTH,
        PRACTICE,
        oil_edge_mm
    ),
    figure!(
        "thickest-edge",
        EDGE,
        "Most",
        LENGTH,
        "a maker's page on forged blades",
        forged_edge_mm
    ),
    figure!(
        "kitchen-edge-least",
        FINISHED,
        "Kitchen, least",
        LENGTH,
        PRACTICE,
        kitchen_edge_mm.0
    ),
    figure!(
        "kitchen-edge-most",
        FINISHED,
        "Kitchen, most",
        LENGTH,
        PRACTICE,
        kitchen_edge_mm.1
    ),
    figure!(
        "hunter-edge-least",
        FINISHED,
        "Hunter and bush, least",
        LENGTH,
        PRACTICE,
        hunter_edge_mm.0
    ),
    figure!(
        "hunter-edge-most",
        FINISHED,
        "Hunter and bush, most",
        LENGTH,
        PRACTICE,
        hunter_edge_mm.1
    ),
    figure!(
        "chopper-edge-least",
        FINISHED,
        "Chopper, least",
        LENGTH,
        PRACTICE,
        chopper_edge_mm.0
    ),
    figure!(
        "chopper-edge-most",
        FINISHED,
        "Chopper, most",
        LENGTH,
        PRACTICE,
        chopper_edge_mm.1
    ),
    figure!(
        "carving-edge-most",
        FINISHED,
        "Carving and grafting, most",
        LENGTH,
        PRACTICE,
        carving_edge_mm.1
    ),
    figure!(
        "bevel-over",
        GRINDS,
        "How much taller than the blade still just reaches",
        LENGTH,
        OURS,
        bevel_over_mm
    ),
    figure!(
        "bevel-passes-share",
        GRINDS,
        "Share of the run a bevel may pass the spine",
        SHARE,
        OURS,
        bevel_passes_share
    ),
    figure!(
        "bevels-meet-share",
        GRINDS,
        "Share of a false edge the bevel may meet",
        SHARE,
        OURS,
        bevels_meet_share
    ),
    figure!(
        "ricasso-least",
        GRINDS,
        "Least plain steel from the plunge to the guard",
        LENGTH,
        PRACTICE,
        ricasso_mm
    ),
    figure!(
        "core-stands-least",
        LAYERS,
        "Least the core stands out of the edge",
        LENGTH,
        OURS,
        core_stands_mm
    ),
    figure!(
        "layer-left-least",
        LAYERS,
        "Least a taper leaves of a layer it cuts",
        LENGTH,
        OURS,
        layer_left_mm
    ),
];
