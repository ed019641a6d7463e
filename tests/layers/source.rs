//! Source text made ready for searching: comments and literals blanked, the rest cut into words and signs.

/// A word or a sign of a source text, with its line from 1.
#[derive(Debug, Clone, Copy)]
pub(super) struct Token<'a> {
    pub(super) text: &'a str,
    pub(super) line: usize,
}

/// `source` with comments and the insides of literals turned to blanks; line breaks stay.
pub(super) fn blank_out(source: &str) -> String {
    let chars: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    while at < chars.len() {
        let end = literal_or_comment_end(&chars, at);
        if end == at {
            out.push(chars[at]);
            at += 1;
        } else {
            out.extend(
                chars[at..end]
                    .iter()
                    .map(|&c| if c == '\n' { '\n' } else { ' ' }),
            );
            at = end;
        }
    }
    out
}

/// Where the comment or literal that starts at `at` ends; `at` itself if none starts there.
fn literal_or_comment_end(chars: &[char], at: usize) -> usize {
    let peek = |i: usize| chars.get(i).copied().unwrap_or('\0');
    let after_word = at > 0 && is_word(peek(at - 1));
    match (peek(at), peek(at + 1)) {
        ('/', '/') => (at..chars.len())
            .find(|&i| chars[i] == '\n')
            .unwrap_or(chars.len()),
        ('/', '*') => block_comment_end(chars, at),
        ('"', _) => quoted_end(chars, at + 1, '"'),
        ('\'', '\\') => quoted_end(chars, at + 1, '\''),
        // 'x' is a character, 'x without a closing quote is a lifetime or a label.
        ('\'', _) if peek(at + 2) == '\'' => at + 3,
        ('r', '"' | '#') if !after_word => raw_string_end(chars, at + 1).unwrap_or(at),
        // A prefix before a raw string hides its r from the line above.
        ('b' | 'c', 'r') if !after_word => raw_string_end(chars, at + 2).unwrap_or(at),
        _ => at,
    }
}

/// Block comments nest.
fn block_comment_end(chars: &[char], at: usize) -> usize {
    let mut depth = 0_usize;
    let mut i = at;
    while i < chars.len() {
        match (chars[i], chars.get(i + 1)) {
            ('/', Some('*')) => (depth, i) = (depth + 1, i + 2),
            ('*', Some('/')) => (depth, i) = (depth - 1, i + 2),
            _ => i += 1,
        }
        if depth == 0 {
            break;
        }
    }
    i.min(chars.len())
}

fn quoted_end(chars: &[char], mut i: usize, quote: char) -> usize {
    while i < chars.len() {
        match chars[i] {
            '\\' => i += 2,
            c if c == quote => return i + 1,
            _ => i += 1,
        }
    }
    chars.len()
}

/// The end of `#*"…"#*` at `at`, with as many `#` behind as before; `None` if it is a raw name such as `r#type`.
fn raw_string_end(chars: &[char], at: usize) -> Option<usize> {
    let n_hashes = chars[at..].iter().take_while(|&&c| c == '#').count();
    let inside = at + n_hashes + 1;
    if chars.get(inside - 1) != Some(&'"') {
        return None;
    }
    let closes =
        |&i: &usize| chars[i] == '"' && (1..=n_hashes).all(|k| chars.get(i + k) == Some(&'#'));
    Some(
        (inside..chars.len())
            .find(closes)
            .map_or(chars.len(), |i| i + 1 + n_hashes),
    )
}

pub(super) fn is_word(c: char) -> bool {
    c == '_' || c.is_alphanumeric()
}

/// Cuts blanked source into words, `::` and single signs. Raw names lose their `r#`.
pub(super) fn tokens(blanked: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    for (line, mut rest) in (1..).zip(blanked.lines()) {
        loop {
            rest = rest.trim_start();
            rest = rest
                .strip_prefix("r#")
                .filter(|name| name.starts_with(is_word))
                .unwrap_or(rest);
            let Some(first) = rest.chars().next() else {
                break;
            };
            let length = if is_word(first) {
                rest.find(|c| !is_word(c)).unwrap_or(rest.len())
            } else if rest.starts_with("::") {
                2
            } else {
                first.len_utf8()
            };
            let (text, behind) = rest.split_at(length);
            tokens.push(Token { text, line });
            rest = behind;
        }
    }
    tokens
}
