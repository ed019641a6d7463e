//! The figures the checks go by: shown to the maker, and the maker's to change.

use crate::catalog::{CuttingProcess, Limit, Service, usual_service};

/// Figures of the checks. [`Thresholds::default`] is common practice; "practice" and "cutting limits" below are the tables of
/// [`crate::catalog`], whose rows name their sources.
#[derive(Clone, Debug, PartialEq)]
pub struct Thresholds {
    /// Steel between two holes, or a hole and the outline, in hole diameters. Practice `web.hole-diameters`: 1. Breaking it is
    /// a warning for holes that carry load (pin, tube, lanyard, guard pin), else a note.
    pub web_diameters: f64,
    /// The same steel in stock thicknesses; always a warning. Practice `web.stock-thicknesses`: 1.
    pub web_thicknesses: f64,
    /// Name of the way of cutting the limits below belong to. Default: waterjet.
    pub process: String,
    /// Smallest opening it cuts. Cutting limits `waterjet hole`: half the stock thickness, at least 1.5 mm.
    pub process_hole: Limit,
    /// Least steel it leaves between two cuts. Cutting limits `waterjet web`: half the stock thickness, at least 1 mm.
    pub process_web: Limit,
    /// Sharpest inside corner it leaves, mm. Cutting limits `waterjet inside-radius`: 0.508 mm (0.02 in).
    pub process_inside_radius_mm: f64,
    /// Steel that cutting files leave on outside the outline, for the grinder, mm. Ours: none unless the maker wants it.
    pub left_on_mm: f64,
    /// How much smaller than drawn cutting files have round holes, for the reamer, mm. Ours: not at all.
    pub holes_under_mm: f64,
    /// Least radius of the inside corners of a hidden tang's shoulder, mm. Practice `tang.shoulder-radius`: 1.5 to 3.
    pub shoulder_radius_mm: f64,
    /// An inside corner that turns less than this is a bend, radians. Ours: 15°, where the stress concentration of an
    /// unrounded notch is still small.
    pub corner_turn_rad: f64,
    /// Hole less rod or tube for a slip fit, lowest and highest, mm. Practice `pin.slip-clearance`: 0.01 to 0.2.
    pub slip_mm: (f64, f64),
    /// Hole less pin for a pin that is pressed or tapped in, lowest and highest, mm. Practice `pin.tight-clearance`: −0.05 to 0.01.
    pub tight_mm: (f64, f64),
    /// How much larger than a pin that is peened the hole in the tang is, lowest and highest, as a share of the pin. Practice
    /// `pin.tang-hole-oversize`: 25 to 50 percent.
    pub peened_share: (f64, f64),
    /// A hole this near to a drill is that drill's, mm. Ours: 0.02, under half the step between drills, about what a twist
    /// drill cuts oversize.
    pub drill_off_mm: f64,
    /// Smallest lanyard hole without a tube, mm. Practice `lanyard.plain-hole`: 5 to 6.5 for 4 mm cord.
    pub lanyard_hole_mm: f64,
    /// Guard slot width less tang thickness, lowest and highest, mm. Practice `guard.slot-clearance`: −0.05 to 0.05.
    pub guard_slot_mm: (f64, f64),
    /// Usual width of a hidden tang, mm. Practice `tang.hidden.width`: 9 to 16.
    pub hidden_width_mm: (f64, f64),
    /// Usual length of a hidden tang, mm. Practice `tang.hidden.length`: 70 to 110, and down from there `tang.stub.length`.
    pub hidden_length_mm: (f64, f64),
    /// Least height of a partial tang at the shoulder, mm. Practice `tang.stub.width`: 13 to 19.
    pub stub_width_mm: f64,
    /// Longest partial tang that one pin holds, mm. Practice `tang.stub.length`: 64.
    pub stub_length_mm: f64,
    /// Least share of the bar's thickness that a tang keeps at the shoulder. Common practice, no source: 0.6, from memory; a tang tapers toward the butt, not
    /// toward the blade.
    pub shoulder_share: f64,
    /// Least wood round a tang, mm. Practice `handle.wall`: 2.
    pub wall_mm: f64,
    /// Tallest full tang that is comfortable to hold, mm. Practice `handle.height`: 22 to 32.
    pub grip_height_mm: f64,
    /// How far a landmark may be off its place, mm. Ours: 0.1, the width of a scribed line.
    pub landmark_off_mm: f64,
    /// How far the stock may be from a size that is sold, mm. Ours: 0.05, half the step between thin metric sizes.
    pub stock_off_mm: f64,
    /// Widest bar that is usually sold, mm. Stock `bar_width`: 3 in.
    pub widest_bar_mm: f64,
    /// Longest bar at hand, mm; 0 while the maker has not said.
    pub longest_bar_mm: f64,
    /// Longest steel the furnace takes, mm; 0 while the maker has not said.
    pub furnace_mm: f64,
    /// Longest steel the quench tank takes, mm; 0 while the maker has not said.
    pub tank_mm: f64,
    /// Least edge for a quench between plates, mm. Practice `edge.before-quench.plates`: 0.3 to 0.6.
    pub plate_edge_mm: f64,
    /// Least edge for a quench in oil, mm. Practice `edge.before-quench.oil`: 0.5 to 1.
    pub oil_edge_mm: f64,
    /// Thickest edge that goes into the quench, mm. Practice `edge.before-quench.forged`: 1.6.
    pub forged_edge_mm: f64,
    /// Edge before sharpening of kitchen knives, mm. Practice `edge.finished.kitchen`: 0.13 to 0.25.
    pub kitchen_edge_mm: (f64, f64),
    /// Edge before sharpening of hunting and bush knives, mm. Practice `edge.finished.hunter`: 0.25 to 0.5.
    pub hunter_edge_mm: (f64, f64),
    /// Edge before sharpening of choppers, mm. Practice `edge.finished.chopper`: 0.5 to 0.8.
    pub chopper_edge_mm: (f64, f64),
    /// Edge before sharpening of carving and grafting knives, mm. Practice `edge.finished.carving`: 0 to 0.2; the lower end can't be
    /// changed, as no edge is below nothing.
    pub carving_edge_mm: (f64, f64),
    /// How much a bevel may be taller than the steel and still just reach its far side, mm. Ours: a tenth, as heights are scribed to tenths, and a full flat is
    /// set up to the next one.
    pub bevel_over_mm: f64,
    /// Share of its run on which a bevel may be taller than the blade. Ours: half; near the tip every bevel passes the spine.
    pub bevel_passes_share: f64,
    /// Share of a false edge on which the bevel below may meet it. Ours: half; near the tip they always meet.
    pub bevels_meet_share: f64,
    /// Least plain steel between a plunge and the guard, mm. Practice `ricasso.length`: 5 to 15.
    pub ricasso_mm: f64,
    /// How far the core stands out of the edge on each ground face at least, mm of the bar's thickness. Ours: it shows at all.
    pub core_stands_mm: f64,
    /// Least that a taper leaves of a layer it cuts into, mm. Ours: anything.
    pub layer_left_mm: f64,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            web_diameters: 1.0,
            web_thicknesses: 1.0,
            process: "Waterjet".to_owned(),
            process_hole: Limit {
                times_thickness: 0.5,
                at_least_mm: 1.5,
            },
            process_web: Limit {
                times_thickness: 0.5,
                at_least_mm: 1.0,
            },
            process_inside_radius_mm: 0.508,
            left_on_mm: 0.0,
            holes_under_mm: 0.0,
            shoulder_radius_mm: 1.5,
            corner_turn_rad: 15.0_f64.to_radians(),
            slip_mm: (0.01, 0.2),
            tight_mm: (-0.05, 0.01),
            peened_share: (0.25, 0.5),
            drill_off_mm: 0.02,
            lanyard_hole_mm: 5.0,
            guard_slot_mm: (-0.05, 0.05),
            hidden_width_mm: (9.0, 16.0),
            hidden_length_mm: (70.0, 110.0),
            stub_width_mm: 13.0,
            shoulder_share: 0.6,
            stub_length_mm: 64.0,
            wall_mm: 2.0,
            grip_height_mm: 32.0,
            landmark_off_mm: 0.1,
            stock_off_mm: 0.05,
            widest_bar_mm: 76.2,
            longest_bar_mm: 0.0,
            furnace_mm: 0.0,
            tank_mm: 0.0,
            plate_edge_mm: 0.3,
            oil_edge_mm: 0.5,
            forged_edge_mm: 1.6,
            kitchen_edge_mm: (0.13, 0.25),
            hunter_edge_mm: (0.25, 0.5),
            chopper_edge_mm: (0.5, 0.8),
            carving_edge_mm: (0.0, 0.2),
            bevel_over_mm: 0.1,
            bevel_passes_share: 0.5,
            bevels_meet_share: 0.5,
            ricasso_mm: 5.0,
            core_stands_mm: 0.0,
            layer_left_mm: 0.0,
        }
    }
}

impl Thresholds {
    /// The same figures with the limits of another way of cutting. One that can't cut closed holes sets no limit to them: they
    /// are drilled.
    #[must_use]
    pub fn for_process(self, process: &CuttingProcess) -> Self {
        Self {
            process: process.name.clone(),
            process_hole: process.hole.unwrap_or(Limit {
                times_thickness: 0.0,
                at_least_mm: 0.0,
            }),
            process_web: process.web,
            process_inside_radius_mm: process.inside_radius_mm,
            ..self
        }
    }

    /// The service these figures describe: a way of cutting with the shop's own figures in their places.
    #[must_use]
    pub fn service(&self) -> Option<Service> {
        let none = self.process_hole.times_thickness == 0.0 && self.process_hole.at_least_mm == 0.0;
        let usual = usual_service(&self.process).or_else(|| usual_service("waterjet"))?;
        Some(Service {
            name: self.process.clone(),
            hole: (!none).then_some(self.process_hole),
            web: self.process_web,
            inside_radius_mm: self.process_inside_radius_mm,
            left_on_mm: self.left_on_mm,
            holes_under_mm: self.holes_under_mm,
            ..usual
        })
    }

    /// The same figures with the rules of a service.
    #[must_use]
    pub fn for_service(self, service: &Service) -> Self {
        Self {
            process: service.name.clone(),
            process_hole: service.hole.unwrap_or(Limit {
                times_thickness: 0.0,
                at_least_mm: 0.0,
            }),
            process_web: service.web,
            process_inside_radius_mm: service.inside_radius_mm,
            left_on_mm: service.left_on_mm,
            holes_under_mm: service.holes_under_mm,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{
        StockKind, cutting_process, hidden_tang, practice_rule, smallest_web_mm, stock_of,
        stub_tang,
    };

    #[test]
    fn defaults_are_what_the_tables_say() {
        let t = Thresholds::default();
        let range = |key: &str| practice_rule(key).expect(key).range();
        assert_eq!(t.web_diameters, range("web.hole-diameters").0);
        assert_eq!(t.web_thicknesses, range("web.stock-thicknesses").0);
        assert_eq!(smallest_web_mm(6.0, 4.0), 6.0 * t.web_diameters);
        assert_eq!(t.slip_mm, range("pin.slip-clearance"));
        assert_eq!(t.tight_mm, range("pin.tight-clearance"));
        let peened = range("pin.tang-hole-oversize");
        assert_eq!(t.peened_share, (peened.0 / 100.0, peened.1 / 100.0));
        let stub = stub_tang();
        assert_eq!(
            (t.stub_width_mm, t.stub_length_mm),
            (stub.width_mm.0, stub.most_length_mm)
        );
        assert_eq!(t.wall_mm, range("handle.wall").0);
        assert_eq!(t.lanyard_hole_mm, range("lanyard.plain-hole").0);
        assert_eq!(t.guard_slot_mm, range("guard.slot-clearance"));
        assert_eq!(t.grip_height_mm, range("handle.height").1);
        let tang = hidden_tang();
        assert_eq!(t.shoulder_radius_mm, tang.shoulder_radius_mm.0);
        assert_eq!(t.hidden_width_mm, tang.width_mm);
        assert_eq!(t.hidden_length_mm, tang.length_mm);
        let widest = stock_of(StockKind::BarWidth).map(|s| s.size_mm);
        assert_eq!(t.widest_bar_mm, widest.fold(0.0, f64::max));
        assert_eq!(t.plate_edge_mm, range("edge.before-quench.plates").0);
        assert_eq!(t.oil_edge_mm, range("edge.before-quench.oil").0);
        assert_eq!(t.forged_edge_mm, range("edge.before-quench.forged").1);
        assert_eq!(t.kitchen_edge_mm, range("edge.finished.kitchen"));
        assert_eq!(t.hunter_edge_mm, range("edge.finished.hunter"));
        assert_eq!(t.chopper_edge_mm, range("edge.finished.chopper"));
        assert_eq!(t.carving_edge_mm, range("edge.finished.carving"));
        assert_eq!(t.ricasso_mm, range("ricasso.length").0);
        let waterjet = cutting_process("waterjet").expect("waterjet");
        assert_eq!(t.clone().for_process(waterjet), t);
    }

    #[test]
    fn figures_and_services_are_one_another() {
        for usual in crate::catalog::usual_services() {
            let t = Thresholds::default().for_service(&usual);
            assert_eq!(t.service(), Some(usual));
        }
    }

    #[test]
    fn a_saw_sets_no_limit_to_holes() {
        let saw = cutting_process("bandsaw").expect("bandsaw");
        let t = Thresholds::default().for_process(saw);
        assert_eq!(t.process_hole.at(5.0), 0.0);
        assert_eq!(t.process_inside_radius_mm, 16.0);
    }
}
