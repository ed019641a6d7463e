//! Follows every path in one file to the room, or the part of the standard library, that it names.

use super::source::{Token, is_word};
use super::{Fault, MAY_DRAW, MAY_REACH_OUTSIDE, OUTSIDE, ROOMS, WINDOW_CRATES};

/// Where a path stands while it is followed.
#[derive(Clone)]
enum Place {
    /// A module of this crate, from the root.
    Module(Vec<String>),
    /// The root of the standard library.
    Std,
}

/// One file being searched.
pub(super) struct Walk<'a> {
    pub(super) name: &'a str,
    /// The room, `main.rs` or `lib.rs`.
    pub(super) owner: &'a str,
    pub(super) room: Option<&'a str>,
    pub(super) tokens: &'a [Token<'a>],
    pub(super) faults: Vec<Fault>,
}

impl<'a> Walk<'a> {
    fn text(&self, at: usize) -> &'a str {
        self.tokens.get(at).map_or("", |token| token.text)
    }

    fn fault(&mut self, at: usize, what: String) {
        let line = self.tokens.get(at).map_or(1, |token| token.line);
        let fault = Fault {
            file: self.name.to_owned(),
            line,
            what,
        };
        if !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    /// Searches the whole file; what is found stands in `faults`.
    pub(super) fn run(&mut self) {
        let mut module = module_of(self.name);
        // For each open brace, whether it opened an inline module.
        let mut braces = Vec::new();
        for at in 0..self.tokens.len() {
            match self.text(at) {
                "{" => {
                    let opens_module = at >= 2 && self.text(at - 2) == "mod";
                    if opens_module {
                        module.push(self.text(at - 1).to_owned());
                    }
                    braces.push(opens_module);
                }
                "}" => {
                    if braces.pop() == Some(true) {
                        module.pop();
                    }
                }
                word => self.word(at, word, &module),
            }
        }
    }

    /// Looks at one word outside any path already followed.
    fn word(&mut self, at: usize, word: &str, module: &[String]) {
        if WINDOW_CRATES.contains(&word) && !MAY_DRAW.contains(&self.owner) {
            self.fault(at, format!("`{word}` is for the window alone"));
        }
        match word {
            "extern" if self.text(at + 1) == "crate" => {
                self.fault(at, "`extern crate` gives a crate a second name".to_owned())
            }
            "path" if self.text(at + 1) == "=" && at >= 2 && self.text(at - 1) == "[" => {
                self.fault(at, "`#[path]` lets a file lie outside its room".to_owned());
            }
            "include" if self.text(at + 1) == "!" => {
                self.fault(at, "`include!` lets source lie outside its room".to_owned())
            }
            _ => {}
        }
        // Behind `a::` a word belongs to a path that is followed from its own start; `::std` starts one.
        if at >= 2 && self.text(at - 1) == "::" && continues_a_path(self.text(at - 2)) {
            return;
        }
        let place = match word {
            "crate"
                if self.text(at + 1) == "::"
                    || !matches!(self.text(at.wrapping_sub(1)), "(" | "extern") =>
            {
                Place::Module(Vec::new())
            }
            "tangwright" if self.names_a_crate(at) => Place::Module(Vec::new()),
            "self" if self.text(at + 1) == "::" => Place::Module(module.to_vec()),
            "super" => Place::Module(
                module
                    .split_last()
                    .map_or_else(Vec::new, |(_, above)| above.to_vec()),
            ),
            "std" | "core" if self.names_a_crate(at) => Place::Std,
            _ => return,
        };
        self.follow(at + 1, at, place);
    }

    /// Whether the word at `at` names a crate: a path goes on behind it, or a `use` brings it in.
    fn names_a_crate(&self, at: usize) -> bool {
        let before = if at == 0 { "" } else { self.text(at - 1) };
        let field_or_method = before == ".";
        !field_or_method
            && (self.text(at + 1) == "::"
                || before == "use"
                || matches!((before, self.text(at + 1)), ("{" | ",", "as")))
    }

    /// Follows a path that has come to `place`; `at` is behind the last word, which stands at `last`.
    /// Returns where the path, with its whole group, ends.
    fn follow(&mut self, at: usize, last: usize, place: Place) -> usize {
        if self.text(at) == "::" {
            return self.segment(at + 1, place);
        }
        let at_root = match &place {
            Place::Module(module) => module.is_empty(),
            Place::Std => true,
        };
        let in_visibility =
            self.text(at) == ")" && last >= 1 && matches!(self.text(last - 1), "(" | "in");
        if at_root && !in_visibility && self.room.is_some() {
            self.fault(
                last,
                "a crate root brought in whole, or under another name, hides what is used of it"
                    .to_owned(),
            );
        }
        at
    }

    /// Follows one word, a star or a group behind `::`. Returns where it ends.
    fn segment(&mut self, at: usize, place: Place) -> usize {
        match self.text(at) {
            "{" => {
                let mut item = at + 1;
                while !matches!(self.text(item), "}" | "") {
                    item = self.segment(item, place.clone());
                    // Past `as name`, and whatever else belongs to this item, to the next one.
                    while !matches!(self.text(item), "," | "}" | "") {
                        item += 1;
                    }
                    if self.text(item) == "," {
                        item += 1;
                    }
                }
                item + 1
            }
            "self" => self.follow(at + 1, at, place),
            "super" => match place {
                Place::Module(mut module) => {
                    module.pop();
                    self.follow(at + 1, at, Place::Module(module))
                }
                Place::Std => at + 1,
            },
            word => {
                self.named(at, word, &place);
                self.skip_tail(at + 1)
            }
        }
    }

    /// Goes past the rest of a path whose first word has been judged.
    fn skip_tail(&self, mut at: usize) -> usize {
        while self.text(at) == "::" {
            at += 1;
            if self.text(at) == "{" {
                let mut depth = 0_usize;
                loop {
                    match self.text(at) {
                        "{" => depth += 1,
                        "}" => depth -= 1,
                        _ => {}
                    }
                    at += 1;
                    if depth == 0 || self.text(at).is_empty() {
                        return at;
                    }
                }
            }
            at += 1;
        }
        at
    }

    /// Judges `word`, named directly in `place`.
    fn named(&mut self, at: usize, word: &str, place: &Place) {
        match place {
            Place::Std if MAY_REACH_OUTSIDE.contains(&self.owner) => {}
            Place::Std if OUTSIDE.contains(&word) => {
                self.fault(
                    at,
                    format!(
                        "`std::{word}` reaches outside the program; `{}` only computes",
                        self.owner
                    ),
                );
            }
            Place::Std if word == "*" => {
                self.fault(at, "`std::*` hides what is used of it".to_owned())
            }
            Place::Module(module) if module.is_empty() => self.named_at_root(at, word),
            Place::Std | Place::Module(_) => {}
        }
    }

    fn named_at_root(&mut self, at: usize, word: &str) {
        let Some(room) = self.room else { return };
        if word == room {
            return;
        }
        if !ROOMS.iter().any(|(known, _)| *known == word) {
            self.fault(
                at,
                format!("`{word}` at the crate root is no room; name things by their room"),
            );
            return;
        }
        let allowed = ROOMS
            .iter()
            .find(|(own, _)| *own == room)
            .map_or(&[][..], |(_, may)| may);
        if !allowed.contains(&word) {
            self.fault(at, format!("`{room}` may not know `{word}`"));
        }
    }
}

/// Whether `::` behind `word` goes on with a path that `word` belongs to, rather than starting one of its own.
fn continues_a_path(word: &str) -> bool {
    const NEVER_IN_A_PATH: &[&str] = &[
        "as", "break", "dyn", "else", "for", "if", "impl", "in", "let", "match", "move", "mut",
        "ref", "return", "use", "where", "while",
    ];
    word == ">" || (word.ends_with(is_word) && !NEVER_IN_A_PATH.contains(&word))
}

/// The module a file holds, from its path below `src/`.
fn module_of(name: &str) -> Vec<String> {
    let stem = name.trim_end_matches(".rs");
    let mut module: Vec<String> = stem.split('/').map(str::to_owned).collect();
    if module
        .last()
        .is_some_and(|last| matches!(last.as_str(), "mod" | "lib" | "main"))
    {
        module.pop();
    }
    module
}
