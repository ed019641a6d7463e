//! Edits of the set: its knives in rack order, and its materials.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::EditError;
use crate::knife::{Id, Knife, KnifeSet, LONGEST_TEXT, Material};

fn place_of(set: &KnifeSet, id: Id) -> Result<usize, EditError> {
    set.knives
        .iter()
        .position(|k| k.id == id)
        .ok_or(EditError::NoKnife)
}

fn take_id(set: &mut KnifeSet) -> Id {
    let id = set.next_id;
    set.next_id = set.next_id.saturating_add(1);
    id
}

/// Puts a knife at the end of the rack, under a name and an id of its own, with the materials it needs.
pub(super) fn add(set: &mut KnifeSet, knife: &Knife, materials: &[Material]) {
    let mut knife = knife.clone();
    knife.id = take_id(set);
    knife.name = free_name(set, &knife.name);
    // Keys as the knife came with them, so that a key given anew is not taken for another that came along.
    let needed: BTreeSet<String> = knife.materials().map(str::to_owned).collect();
    let mut renamed = Vec::new();
    for key in needed {
        if let Some(brought) = materials.iter().find(|m| m.key == key) {
            let own = bring_material(set, brought, materials);
            if own != key {
                renamed.push((key, own));
            }
        }
    }
    for key in knife.materials_mut() {
        if let Some((_, own)) = renamed.iter().find(|(old, _)| old == key) {
            key.clone_from(own);
        }
    }
    set.knives.push(Arc::new(knife));
}

/// Makes sure the set has the material, and gives the key it bears there: its own, unless the set calls another steel by it. A key must
/// not change what it means to the knives that use it already.
fn bring_material(set: &mut KnifeSet, brought: &Material, along: &[Material]) -> String {
    let same = |own: &Material| {
        own.density_g_cm3 == brought.density_g_cm3
            && own.density_low == brought.density_low
            && own.density_high == brought.density_high
    };
    match set.material(&brought.key) {
        None => {
            set.materials.push(brought.clone());
            return brought.key.clone();
        }
        Some(own) if same(own) => {
            let key = own.key.clone();
            keep_data_sheet(set, &key, brought);
            return key;
        }
        Some(_) => {}
    }
    // Brought before, when its key was taken already.
    let again = |own: &&Material| same(own) && own.name == brought.name;
    if let Some(own) = set.materials.iter().find(again) {
        return own.key.clone();
    }
    let taken: BTreeSet<&str> = set
        .materials
        .iter()
        .chain(along)
        .map(|m| m.key.as_str())
        .collect();
    let key = first_free(&brought.key, "-", &taken);
    set.materials.push(Material {
        key: key.clone(),
        ..brought.clone()
    });
    key
}

/// What a knife brings of its steel's data sheet is not lost where the set has none.
fn keep_data_sheet(set: &mut KnifeSet, key: &str, brought: &Material) {
    let own = set.materials.iter_mut().find(|m| m.key == key);
    if let Some(own) = own.filter(|own| own.data_sheet.is_empty()) {
        own.data_sheet.clone_from(&brought.data_sheet);
    }
}

/// The name itself, or counted on when another knife bears it: `Paring`, `Paring 2`, `Paring 3`.
fn free_name(set: &KnifeSet, name: &str) -> String {
    let taken: BTreeSet<&str> = set.knives.iter().map(|k| k.name.as_str()).collect();
    if !taken.contains(name) {
        return name.to_owned();
    }
    let stem = match name.rsplit_once(' ') {
        Some((stem, number)) if number.bytes().all(|b| b.is_ascii_digit()) => stem,
        _ => name,
    };
    first_free(stem.trim_end(), " ", &taken)
}

/// The first of `stem 2`, `stem 3`, … that is not taken; a stem at the limit of texts is cut to leave room for the number.
pub(crate) fn first_free(stem: &str, gap: &str, taken: &BTreeSet<&str>) -> String {
    // Room for any number of things a set can hold.
    let stem: String = stem.chars().take(LONGEST_TEXT - 12).collect();
    let mut n = 2_usize;
    loop {
        let candidate = if stem.is_empty() {
            n.to_string()
        } else {
            format!("{stem}{gap}{n}")
        };
        if !taken.contains(candidate.as_str()) {
            return candidate;
        }
        n += 1;
    }
}

/// Puts a copy of a knife behind it.
pub(super) fn double(set: &mut KnifeSet, id: Id) -> Result<(), EditError> {
    let copy = Knife::clone(set.knife(id).ok_or(EditError::NoKnife)?);
    put_behind(set, id, copy)
}

/// Puts a knife made of another behind that, under a name and an id of its own.
pub(super) fn put_behind(set: &mut KnifeSet, id: Id, mut made: Knife) -> Result<(), EditError> {
    let place = place_of(set, id)?;
    made.name = free_name(set, &made.name);
    made.id = take_id(set);
    set.knives.insert(place + 1, Arc::new(made));
    Ok(())
}

pub(super) fn remove(set: &mut KnifeSet, id: Id) -> Result<(), EditError> {
    let place = place_of(set, id)?;
    set.knives.remove(place);
    Ok(())
}

/// Moves a knife to a place counted from 0; past the end is the end.
pub(super) fn move_to(set: &mut KnifeSet, id: Id, place: usize) -> Result<(), EditError> {
    let from = place_of(set, id)?;
    let knife = set.knives.remove(from);
    set.knives.insert(place.min(set.knives.len()), knife);
    Ok(())
}

/// Adds a material or changes the one with the same key.
pub(super) fn set_material(set: &mut KnifeSet, material: &Material) {
    match set.materials.iter_mut().find(|m| m.key == material.key) {
        Some(own) => own.clone_from(material),
        None => set.materials.push(material.clone()),
    }
}
