//! `plan`: ways to a wanted balance or mass, and one of them carried out.

use std::path::Path;

use super::args::{PlanArguments, PlanRuleArguments};
use super::complaint::{Complaint, about, one_line};
use super::plan_json::PlanAnswer;
use super::shop::Shop;
use super::table::{Side, aligned};
use super::{Answer, choose, new, open};
use crate::files::{Over, save_design};
use crate::knife::{CutShape, Filling, Knife, KnifeSet, set_faults};
use crate::planning::{
    NoPlan, Plan, PlanRules, PlannedCut, Planning, Wanted, carried_out, drills_named, plan,
};
use crate::units::{Length, LengthFormat, MISSING, print_number};

pub(super) fn run(asked: &PlanArguments) -> Result<Answer, Complaint> {
    if let Some(out) = &asked.apply
        && !is_same(out, &asked.file)
    {
        new::free(out)?;
    }
    let set = open::design(&asked.file)?;
    let knife = choose::the_one(&set, &asked.file, asked.knife.as_deref())?;
    let (rules, notes) = rules(&asked.rules)?;
    let wanted = match (asked.balance, asked.mass) {
        (Some(mm), _) => Wanted::BalanceMm(mm),
        (None, Some(g)) => Wanted::MassG(g),
        (None, None) => return Err(Complaint::wrong_use("give --balance or --mass")),
    };
    let planning = plan(knife, &set, wanted, &rules, &|| true).map_err(|reason| match reason {
        NoPlan::NotWeighed { .. } => {
            Complaint::bad_file(&asked.file, &format!("{}: {reason}", one_line(&knife.name)))
        }
        _ => Complaint::wrong_use(reason),
    })?;
    let chosen = chosen(asked, &planning)?;
    let mut complaints = Vec::new();
    if !planning.reached() {
        let name = one_line(&knife.name);
        complaints.push(about(
            &asked.file,
            &format!("{name}: {}", unreached(&planning)),
        ));
    }
    let mut text = if asked.json {
        open::json(&PlanAnswer::new(&knife.name, &planning))?
    } else {
        told(&knife.name, &planning)
    };
    if let Some(out) = &asked.apply {
        match chosen {
            Some(chosen) => {
                write(out, &set, knife, chosen, &rules)?;
                if !asked.json {
                    text.push_str(&format!("\n{} in {}\n", chosen.kind.name(), out.display()));
                }
            }
            None => complaints.push(about(out, "not written: there is no plan to carry out")),
        }
    }
    Ok(Answer {
        text,
        complaints,
        notes,
    })
}

/// Whether both are the same file on the disk.
fn is_same(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

/// The shop's rules and what was asked for, and a line for each setting that could not be used.
fn rules(asked: &PlanRuleArguments) -> Result<(PlanRules, Vec<String>), Complaint> {
    let shop = Shop::load();
    let (figures, mut notes) = (&shop.figures, shop.notes.clone());
    let mut rules = PlanRules {
        web_diameters: figures.web_diameters,
        web_thicknesses: figures.web_thicknesses,
        front_mm: asked.front,
        rear_mm: asked.rear,
        symmetric: asked.symmetric,
        keep_off: asked.keep_off.clone(),
        most_holes: usize::from(asked.most_holes),
        most_removed_g: asked.most_removed,
        slots: !asked.only_holes,
        taper: !asked.only_holes,
        ..PlanRules::default()
    };
    let numbers = [asked.front, asked.rear, asked.most_removed];
    if numbers.into_iter().flatten().any(|n| !n.is_finite()) {
        return Err(Complaint::wrong_use("a limit is no number: give mm or g"));
    }
    if let Some(key) = &asked.fill {
        rules.filling = Filling::Epoxy {
            material: key.clone(),
        };
    }
    if asked.drills.is_empty() {
        for label in shop.drills() {
            match drills_named([label.as_str()]) {
                Ok(drill) => rules.owned.extend(drill),
                Err(label) => notes.push(format!(
                    "the settings name a drill '{}' that there is none of: it is passed over",
                    one_line(&label)
                )),
            }
        }
        rules
            .owned
            .sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
        rules.owned.dedup();
    } else {
        let labels = asked.drills.iter().map(String::as_str);
        rules.drills = drills_named(labels).map_err(|label| {
            Complaint::wrong_use(format!(
                "there is no drill '{}': name drills as 5, 6.5, 1/4, #7, F",
                one_line(&label)
            ))
        })?;
    }
    Ok((rules, notes))
}

/// The plan to carry out: the named one, or the first that reaches what is wanted.
fn chosen<'a>(
    asked: &PlanArguments,
    planning: &'a Planning,
) -> Result<Option<&'a Plan>, Complaint> {
    let Some(name) = &asked.plan else {
        return Ok(planning.plans.first().filter(|plan| plan.reaches()));
    };
    let folded = name.trim().to_lowercase();
    let found = planning.plans.iter().find(|p| p.kind.name() == folded);
    if found.is_none() {
        let names: Vec<&str> = planning.plans.iter().map(|p| p.kind.name()).collect();
        let offered = if names.is_empty() {
            "there is none at all".to_owned()
        } else {
            format!("choose one of {}", names.join(", "))
        };
        return Err(Complaint::wrong_use(format!(
            "there is no plan '{}': {offered}",
            one_line(name)
        )));
    }
    Ok(found)
}

fn write(
    out: &Path,
    set: &KnifeSet,
    knife: &Knife,
    plan: &Plan,
    rules: &PlanRules,
) -> Result<(), Complaint> {
    let mut set = set.clone();
    if let Some(own) = set.knife_mut(knife.id) {
        *own = carried_out(knife, plan, rules);
    }
    if let Some(fault) = set_faults(&set).first() {
        return Err(Complaint::bad_file(out, &format!("not written: {fault}")));
    }
    // A file that stood there is kept beside it as the last good version.
    save_design(out, &set, Over::Anything)
        .map_err(|error| Complaint::bad_file(out, &error))
        .map(|_| ())
}

fn place(mm: f64) -> String {
    LengthFormat::default()
        .caliper()
        .print_signed(Length::mm(mm))
}

fn grams(g: f64) -> String {
    format!("{} g", print_number(g, 2))
}

/// A number of what is wanted.
fn number(wanted: Wanted, value: f64) -> String {
    match wanted {
        Wanted::BalanceMm(_) => place(value),
        Wanted::MassG(_) => grams(value),
    }
}

fn target(wanted: Wanted) -> String {
    match wanted {
        Wanted::BalanceMm(mm) => format!("a balance of {}", place(mm)),
        Wanted::MassG(g) => format!("a mass of {}", grams(g)),
    }
}

fn unreached(planning: &Planning) -> String {
    let (low, high) = planning.reachable;
    let why: Vec<String> = planning
        .stopped_by
        .iter()
        .map(ToString::to_string)
        .collect();
    format!(
        "{} can't be reached, only {} to {}; {}",
        target(planning.wanted),
        number(planning.wanted, low),
        number(planning.wanted, high),
        why.join("; ")
    )
}

fn told(name: &str, planning: &Planning) -> String {
    let mut text = format!(
        "{}: {}, now {} and {}; {} to {} can be reached\n",
        one_line(name),
        target(planning.wanted),
        place(planning.balance_mm),
        grams(planning.mass_g),
        number(planning.wanted, planning.reachable.0),
        number(planning.wanted, planning.reachable.1)
    );
    if planning.plans.is_empty() {
        text.push_str(if planning.reached() {
            "  the knife is there already\n"
        } else {
            "  no plan comes nearer than the knife as it is\n"
        });
        return text;
    }
    let head = [
        "plan",
        "balance",
        "mass",
        "removes",
        "strength",
        "peak stress",
        "what to do",
    ];
    let mut rows = vec![head.iter().map(|word| (*word).to_owned()).collect()];
    let share = |kept: Option<f64>| {
        kept.map_or(MISSING.to_owned(), |kept| {
            format!("{} %", print_number(100.0 * kept, 0))
        })
    };
    for plan in &planning.plans {
        let first: Vec<String> = vec![
            plan.kind.name().to_owned(),
            place(plan.balance_mm),
            grams(plan.mass_g),
            grams(plan.removed_g),
            share(plan.strength_kept),
            share(plan.stress_kept),
        ];
        let blank = vec![String::new(); first.len()];
        for (i, step) in steps(plan).into_iter().enumerate() {
            let mut row = if i == 0 { first.clone() } else { blank.clone() };
            row.push(step);
            rows.push(row);
        }
    }
    let mut sides = vec![Side::Left];
    sides.resize(6, Side::Right);
    text.push_str(&aligned(&rows, &sides, "  "));
    text
}

/// What to do for a plan, a line each.
fn steps(plan: &Plan) -> Vec<String> {
    if let Some(taper) = &plan.taper {
        let stations: Vec<String> = taper
            .stations
            .iter()
            .map(|s| {
                format!(
                    "{} mm at {}",
                    print_number(s.thickness_mm, 2),
                    place(s.x_mm)
                )
            })
            .collect();
        return vec![format!("grind to {}", stations.join(", "))];
    }
    plan.cuts.iter().map(step).collect()
}

fn step(cut: &PlannedCut) -> String {
    let center = cut.shape.center();
    let at = format!("at x {}, y {}", place(center.x), place(center.y));
    match &cut.shape {
        CutShape::Round { diameter_mm, .. } => {
            let drill = cut.drill.clone();
            let drill = drill.unwrap_or_else(|| format!("{} mm", print_number(*diameter_mm, 2)));
            format!("drill {drill} {at}")
        }
        CutShape::Slot {
            length_mm,
            width_mm,
            angle_rad,
            ..
        } => format!(
            "slot {} × {} mm {at}, {}°",
            print_number(*length_mm, 2),
            print_number(*width_mm, 2),
            print_number(angle_rad.to_degrees(), 1)
        ),
        CutShape::Free { .. } => format!("cut {at}"),
    }
}
