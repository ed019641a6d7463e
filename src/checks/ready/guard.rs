//! The guard's plate as the service cuts it from stock of its own thickness: too narrow a slot, too little steel round it, sharp corners, too small a plate.

use super::super::bench::Bench;
use super::super::words::say;
use super::super::{Finding, Severity, Subject, guard};
use super::{CLOSED, Ready};
use crate::catalog::{Service, ServiceMend};
use crate::geometry::{Point, contour_gap};
use crate::knife::{Guard, GuardSlot};
use crate::weighing::guard_slot;

/// Lengths this near are equal, mm: rounding.
const ENOUGH_MM: f64 = 1e-6;

pub(super) fn look(bench: &Bench<'_>, service: &Service, ready: &mut Vec<Ready>) {
    let mut found = Vec::new();
    guard::look(bench, &mut found);
    found.retain(|finding| finding.severity == Severity::Stop);
    let unfit = !found.is_empty();
    ready.extend(found.into_iter().map(|f| Ready::new(f, CLOSED)));
    let Some(plate) = Plate::of(bench, service).filter(|_| !unfit) else {
        return;
    };
    ready.extend(plate.small_slot());
    ready.extend(plate.web());
    ready.extend(plate.corner());
    ready.extend(plate.small_part());
}

/// Where marks of the guard stand on its file, which a service that has one layer for all would cut.
pub(super) fn marked(bench: &Bench<'_>, service: &Service) -> Option<Point> {
    let plate = Plate::of(bench, service)?;
    plate.is_marked().then(|| plate.place())
}

/// The plate with its slot, and what it is held against.
struct Plate<'a> {
    guard: &'a Guard,
    slot: GuardSlot,
    service: &'a Service,
}

impl<'a> Plate<'a> {
    /// The plate of the knife's guard, if it has one that finds its tang.
    fn of(bench: &'a Bench<'_>, service: &'a Service) -> Option<Self> {
        let guard = bench.knife.guard.as_ref().filter(|_| bench.sound)?;
        let slot = guard_slot(bench.knife, guard, &bench.index, None)?;
        Some(Self {
            guard,
            slot,
            service,
        })
    }

    /// On the knife, as the guard sits on it.
    fn place(&self) -> Point {
        Point::new(0.0, self.slot.rect.center().y)
    }

    fn finding(
        &self,
        severity: Severity,
        code: &'static str,
        what: super::super::words::Words,
    ) -> Finding {
        Finding::new(severity, code, what)
            .at(Some(self.place()))
            .about(Subject::Guard)
    }

    /// Whether the slot is left to the drill and the file.
    fn is_marked(&self) -> bool {
        let below = self.service.marks_below();
        below.is_some_and(|limit| self.slot.width_mm() < limit.at(self.guard.thickness_mm))
    }

    fn small_slot(&self) -> Option<Ready> {
        if self.is_marked() {
            return None;
        }
        let (width, name) = (self.slot.width_mm(), self.service.name.to_lowercase());
        let file = "Have it marked; drill its pilot holes, and file it to the line";
        let Some(hole) = self.service.hole else {
            let what = say("The guard's slot is closed: no band can be let into it");
            let finding = self.finding(Severity::Note, "guard-slot-drilled", what);
            let finding = finding
                .why(say("a saw cuts from outside only"))
                .mend(say(file));
            let ready = Ready::new(finding, self.service.basis("hole"));
            return Some(ready.mended_in_file(ServiceMend::MarkSmallHoles));
        };
        let wanted = hole.at(self.guard.thickness_mm);
        if width >= wanted - ENOUGH_MM {
            return None;
        }
        let what = say("The guard's slot is ")
            .mm(width)
            .say(format!(" wide; {name} makes at least "))
            .mm(wanted)
            .say(" in this plate");
        let finding = self
            .finding(Severity::Warn, "guard-slot-small", what)
            .measured(width, wanted)
            .why(say(
                "a smaller opening comes out rough, tapered or not at all",
            ))
            .mend(say(file));
        let ready = Ready::new(finding, self.service.basis("hole"));
        Some(ready.mended_in_file(ServiceMend::MarkSmallHoles))
    }

    fn web(&self) -> Option<Ready> {
        if self.is_marked() {
            return None;
        }
        let wanted = self.service.web.at(self.guard.thickness_mm);
        let (gap, ..) = contour_gap(&self.guard.plate(), &self.slot.contour())?;
        if gap >= wanted - ENOUGH_MM {
            return None;
        }
        let name = self.service.name.to_lowercase();
        let what = say("Between the guard's slot and its rim are ")
            .mm(gap)
            .say(format!("; {name} leaves at least "))
            .mm(wanted);
        let finding = self
            .finding(Severity::Warn, "guard-web", what)
            .measured(gap, wanted)
            .why(say("the cut burns or breaks through a thinner web"))
            .mend(
                say("Make the plate ")
                    .mm(2.0 * (wanted - gap))
                    .say(" larger across and dress it after, or have the slot marked and file it"),
            );
        Some(Ready::new(finding, self.service.basis("web")))
    }

    fn corner(&self) -> Option<Ready> {
        let (radius, wanted) = (self.slot.corner_radius_mm, self.service.inside_radius_mm);
        let drilled = self.is_marked() || self.service.hole.is_none();
        if drilled || radius >= wanted - ENOUGH_MM {
            return None;
        }
        let name = self.service.name.to_lowercase();
        let what = say("The guard's slot has corners of ")
            .mm(radius)
            .say(format!("; {name} leaves "))
            .mm(wanted);
        let finding = self
            .finding(Severity::Note, "guard-slot-corner", what)
            .measured(radius, wanted)
            .why(say("a square tang stops at round corners"))
            .mend(say("File the corners after cutting, or round the tang's"));
        Some(Ready::new(finding, self.service.basis("inside-radius")))
    }

    fn small_part(&self) -> Option<Ready> {
        let least = self.guard.width_mm.min(self.guard.height_mm);
        if least >= self.service.part_mm || self.service.tabs > 0 {
            return None;
        }
        let what = say("The guard is only ")
            .mm(least)
            .say(" across; below ")
            .mm(self.service.part_mm)
            .say(" it wants tabs");
        let finding = self
            .finding(Severity::Note, "guard-small-part", what)
            .measured(least, self.service.part_mm)
            .why(say("a small part tips and falls through the table"))
            .mend(say("Have it held by tabs"));
        let ready = Ready::new(finding, self.service.basis("part"));
        Some(ready.mended_in_file(ServiceMend::AddTabs))
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{self, set_of};
    use super::super::{ReadyMend, ready_check};
    use super::*;
    use crate::catalog::{FileLayers, usual_service};
    use crate::checks::Thresholds;
    use crate::knife::Knife;
    use crate::weighing::weigh;

    /// A bar 4 mm thick with a tang 12 high, and a guard of 6 mm: its slot is 4 by 12 by hand, the plate 16 by 40, so 6 mm of rim are beside the slot.
    fn guarded() -> Knife {
        testing::guarded(16.0)
    }

    fn found(knife: &Knife, service: &Service) -> Vec<Ready> {
        let set = set_of(knife);
        let up = weigh(knife, &set);
        let all = ready_check(knife, &set, &up, &Thresholds::default(), service);
        let own =
            |r: &Ready| r.finding.code.starts_with("guard") || r.finding.code == "layers-mixed";
        all.into_iter().filter(own).collect()
    }

    fn codes(knife: &Knife, service: &Service) -> Vec<&'static str> {
        let mut codes: Vec<_> = found(knife, service)
            .iter()
            .map(|r| r.finding.code)
            .collect();
        codes.sort_unstable();
        codes
    }

    /// By the plate's own 6 mm (`cutting.csv`): a waterjet makes 1.5 or 0.5 x T, so 3 mm; a laser 1.0 x T, 6 mm; plasma max(2 x T, 6 mm), 12 mm; a saw nothing
    /// closed. Webs: 3, 6, 12 and 3 mm; 6 are there. Corners: 0.508, 0.5, 1.0 mm. Parts: a laser's 20 mm.
    #[test]
    fn a_guard_is_held_against_the_rules_by_its_own_thickness() {
        let of = |process: &str| codes(&guarded(), &usual_service(process).unwrap());
        assert_eq!(of("waterjet"), ["guard-slot-corner"]);
        assert_eq!(
            of("laser"),
            ["guard-slot-corner", "guard-slot-small", "guard-small-part"]
        );
        assert_eq!(
            of("plasma"),
            ["guard-slot-corner", "guard-slot-small", "guard-web"]
        );
        assert_eq!(of("bandsaw"), ["guard-slot-drilled"]);
        let laser = usual_service("laser").unwrap();
        let all = found(&guarded(), &laser);
        let small = all
            .iter()
            .find(|r| r.finding.code == "guard-slot-small")
            .unwrap();
        let f = &small.finding;
        assert!((f.measured_mm.unwrap() - 4.0).abs() < 1e-9);
        assert_eq!(
            (f.wanted_mm, f.place),
            (Some(6.0), Some(Point::new(0.0, 0.0)))
        );
        assert_eq!(f.about, Some(Subject::Guard));
        assert_eq!(small.rule, "Fiber laser: minimum hole or slot (guide B)");
    }

    /// One step to either side of each limit.
    #[test]
    fn what_just_holds_is_not_told() {
        let mut service = usual_service("waterjet").unwrap();
        service.inside_radius_mm = 0.0;
        assert_eq!(codes(&guarded(), &service), [""; 0]);
        let limit = |mm: f64| crate::catalog::Limit {
            times_thickness: 0.0,
            at_least_mm: mm,
        };
        for (mm, wanted) in [(4.0, vec![]), (4.01, vec!["guard-slot-small"])] {
            service.hole = Some(limit(mm));
            assert_eq!(codes(&guarded(), &service), wanted, "{mm}");
        }
        service.hole = Some(limit(1.0));
        for (mm, wanted) in [(6.0, vec![]), (6.01, vec!["guard-web"])] {
            service.web = limit(mm);
            assert_eq!(codes(&guarded(), &service), wanted, "{mm}");
        }
        service.web = limit(1.0);
        service.part_mm = 16.01;
        assert_eq!(codes(&guarded(), &service), ["guard-small-part"]);
        service.tabs = 2;
        assert_eq!(codes(&guarded(), &service), [""; 0]);
    }

    /// What is marked is not cut: no small slot, no web, no corner. But on one layer for all, marks get cut, whichever way of cutting.
    #[test]
    fn a_marked_slot_wants_a_layer_of_its_own() {
        for process in ["laser", "bandsaw"] {
            let mut service = usual_service(process).unwrap();
            service.part_mm = 0.0;
            let before = found(&guarded(), &service);
            let offered = before.iter().find_map(|r| match r.mend {
                Some(ReadyMend::Service(mend @ ServiceMend::MarkSmallHoles)) => Some(mend),
                _ => None,
            });
            let mut service = service.mended(offered.unwrap());
            assert_eq!(codes(&guarded(), &service), [""; 0], "{process}");
            service.file.layers = FileLayers::One("0".to_owned());
            assert_eq!(codes(&guarded(), &service), ["layers-mixed"], "{process}");
        }
    }

    /// A slot of 4 by 12 on a plate of 16 by 11.5.
    #[test]
    fn a_guard_that_can_t_be_drawn_is_a_stop() {
        let mut knife = guarded();
        if let Some(guard) = &mut knife.guard {
            guard.height_mm = 11.5;
        }
        let all = found(&knife, &usual_service("waterjet").unwrap());
        assert_eq!(all.len(), 1);
        assert_eq!(
            (all[0].finding.code, all[0].finding.severity),
            ("guard-plate", Severity::Stop)
        );
    }
}
