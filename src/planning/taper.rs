//! A taper instead of holes: the tang thinned toward the butt, or the blade toward the tip.

use super::bench::{Bench, Draft, nearer};
use super::demand::Demand;
use super::plan::NoPlan;
use crate::knife::{Faces, LandmarkKind, Taper, ThicknessStation, usual_taper};
use crate::weighing::weigh;

/// Which end is thinned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Butt,
    Tip,
}

/// Steel toward the tip is left this thick at least, mm (common practice, no source): thinner moves in the quench and burns on the belt.
const LEAST_TIP_MM: f64 = 0.6;

/// Rounds of the search; each at least halves what is left, most do far better.
const ROUNDS: usize = 14;

/// The taper of one end that brings what is wanted, or the most it can; `None` where nothing can be thinned or it moves the knife the other way.
pub(super) fn tapered(
    bench: &Bench<'_>,
    demand: &Demand,
    end: End,
) -> Result<Option<Draft>, NoPlan> {
    let Some(search) = Search::new(bench, end) else {
        return Ok(None);
    };
    let (mut thin, mut thick) = search.range;
    let Some(most) = search.draft(thin) else {
        return Ok(None);
    };
    let brought = |d: &Draft| demand.brought(bench.now, d.weight);
    let mut f_thin = brought(&most) - demand.amount;
    if brought(&most) <= 0.0 {
        return Ok(None);
    }
    if f_thin <= 0.0 {
        return Ok(Some(most));
    }
    let mut f_thick = -demand.amount;
    let mut best = Some(most);
    for round in 0..ROUNDS {
        bench.go_on()?;
        // False position, halving every third time lest one end stays.
        let at = if round % 3 == 2 {
            f64::midpoint(thin, thick)
        } else {
            (thin * f_thick - thick * f_thin) / (f_thick - f_thin)
        };
        let Some(draft) = search.draft(at) else { break };
        let f = brought(&draft) - demand.amount;
        let near = demand.off(draft.weight).abs() <= 0.001;
        best = nearer(demand, best, Some(draft));
        if near {
            break;
        }
        if f > 0.0 {
            (thin, f_thin) = (at, f);
        } else {
            (thick, f_thick) = (at, f);
        }
    }
    Ok(best)
}

struct Search<'a> {
    bench: &'a Bench<'a>,
    taper: Taper,
    /// The station that is varied.
    varied: usize,
    range: (f64, f64),
}

impl<'a> Search<'a> {
    fn new(bench: &'a Bench<'a>, end: End) -> Option<Self> {
        let knife = bench.knife;
        let own = knife.grinding.taper.clone();
        let faces = own
            .as_ref()
            .map(|t| t.faces)
            .or_else(|| usual_taper(knife).map(|t| t.faces))
            .unwrap_or(Faces::Both);
        let station = |x_mm: f64| ThicknessStation {
            x_mm,
            thickness_mm: knife.thickness_at(x_mm),
        };
        let bounds = bench.field.index.bounds();
        let kept = |ahead: bool| {
            let all = own.iter().flat_map(|t| t.stations.iter().copied());
            all.filter(move |s| (s.x_mm > 0.0) == ahead && s.x_mm != 0.0)
        };
        let edges = knife.grinding.grinds.iter().map(|g| g.edge_mm);
        let (stations, varied, least) = match end {
            End::Butt => {
                let mut all = vec![station(bounds.x0), station(0.0)];
                all.extend(kept(true));
                (all, 0, bench.rules.butt_mm)
            }
            End::Tip => {
                let tip = knife
                    .landmark_point(LandmarkKind::Tip)
                    .map_or(bounds.x1, |p| p.x);
                let mut all: Vec<ThicknessStation> = kept(false).collect();
                all.push(station(0.0));
                all.extend(kept(true).filter(|s| s.x_mm < tip));
                all.push(station(tip));
                let last = all.len() - 1;
                (all, last, edges.fold(LEAST_TIP_MM, f64::max))
            }
        };
        let most = stations.get(varied)?.thickness_mm;
        let in_order = stations.is_sorted_by(|a, b| a.x_mm < b.x_mm);
        (in_order && most > least + 0.01).then_some(Self {
            bench,
            taper: Taper { stations, faces },
            varied,
            range: (least, most),
        })
    }

    fn draft(&self, thickness_mm: f64) -> Option<Draft> {
        let mut taper = self.taper.clone();
        taper.stations.get_mut(self.varied)?.thickness_mm = thickness_mm;
        let mut knife = self.bench.knife.clone();
        knife.grinding.taper = Some(taper.clone());
        let total = weigh(&knife, self.bench.set).total?;
        Some(Draft {
            shapes: Vec::new(),
            taper: Some(taper),
            weight: (total.mass_g, total.balance_mm),
        })
    }
}
