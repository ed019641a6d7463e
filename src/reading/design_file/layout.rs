//! Prints a tree as JSON text that reads well and shows small differences: a node, a hole, a material is one line.

use super::tree::Value;

/// Records with more fields than this are spread, one field a line.
const MOST_ON_A_LINE: usize = 8;

/// The text of a tree, ended by a line feed. The root is always spread; below it everything that holds records in a list is spread, and so is a
/// record of many fields; all else stays on one line.
pub(super) fn print(root: &Value<'_>) -> String {
    let mut text = String::new();
    spread(root, 0, &mut text);
    text.push('\n');
    text
}

fn tall(value: &Value<'_>) -> bool {
    match value {
        Value::List(items) => items
            .iter()
            .any(|item| matches!(item, Value::Record(_)) || tall(item)),
        Value::Record(fields) => {
            fields.len() > MOST_ON_A_LINE || fields.iter().any(|(_, value)| tall(value))
        }
        _ => false,
    }
}

fn put(value: &Value<'_>, depth: usize, text: &mut String) {
    if tall(value) {
        spread(value, depth, text);
    } else {
        on_a_line(value, text);
    }
}

fn spread(value: &Value<'_>, depth: usize, text: &mut String) {
    match value {
        Value::List(items) => {
            text.push('[');
            for (i, item) in items.iter().enumerate() {
                new_line(i > 0, depth + 1, text);
                put(item, depth + 1, text);
            }
            new_line(false, depth, text);
            text.push(']');
        }
        Value::Record(fields) => {
            text.push('{');
            for (i, (name, value)) in fields.iter().enumerate() {
                new_line(i > 0, depth + 1, text);
                quote(name, text);
                text.push_str(": ");
                put(value, depth + 1, text);
            }
            new_line(false, depth, text);
            text.push('}');
        }
        plain => on_a_line(plain, text),
    }
}

fn new_line(comma: bool, depth: usize, text: &mut String) {
    if comma {
        text.push(',');
    }
    text.push('\n');
    for _ in 0..depth {
        text.push_str("  ");
    }
}

fn on_a_line(value: &Value<'_>, text: &mut String) {
    match value {
        Value::Null => text.push_str("null"),
        Value::Truth(truth) => text.push_str(if *truth { "true" } else { "false" }),
        Value::Whole(number) => text.push_str(&number.to_string()),
        // The standard library's debug form is the shortest text that reads back as the same number, and it is JSON: it always has
        // a point or an exponent and a digit in front.
        Value::Number(number) if number.is_finite() => text.push_str(&format!("{number:?}")),
        Value::Number(_) => text.push_str("null"),
        Value::Text(own) => quote(own, text),
        Value::List(items) => {
            text.push('[');
            for (i, item) in items.iter().enumerate() {
                text.push_str(if i > 0 { ", " } else { "" });
                on_a_line(item, text);
            }
            text.push(']');
        }
        Value::Record(fields) => {
            text.push('{');
            for (i, (name, value)) in fields.iter().enumerate() {
                text.push_str(if i > 0 { ", " } else { "" });
                quote(name, text);
                text.push_str(": ");
                on_a_line(value, text);
            }
            text.push('}');
        }
    }
}

fn quote(own: &str, text: &mut String) {
    text.push('"');
    for c in own.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            '\n' => text.push_str("\\n"),
            '\t' => text.push_str("\\t"),
            // JSON asks for escapes below the blank; the rest of the controls is escaped so that the file shows them.
            c if c.is_control() => text.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => text.push(c),
        }
    }
    text.push('"');
}

#[cfg(test)]
mod tests {
    use super::super::tree::parse;
    use super::*;

    #[test]
    fn records_in_lists_get_a_line_each() {
        let tree = parse(
            br#"{"a":1,"points":[[1.5,-0.0],[2e300,3]],"nodes":[{"at":[1,2]},{"at":[3.25,4]}],"none":[],"in":{"nodes":[{}]}}"#,
        )
        .expect("JSON");
        let expected = r#"{
  "a": 1,
  "points": [[1.5, -0.0], [2e300, 3]],
  "nodes": [
    {"at": [1, 2]},
    {"at": [3.25, 4]}
  ],
  "none": [],
  "in": {
    "nodes": [
      {}
    ]
  }
}
"#;
        assert_eq!(print(&tree), expected);
    }

    #[test]
    fn every_character_survives() {
        // All the awkward ones: quotes, controls (also U+007F and U+0085, which JSON would let pass), beyond the basic plane.
        let own: String = ('\u{0}'..='\u{ff}')
            .chain(['\u{2028}', '\u{feff}', '🔪'])
            .collect();
        let value = Value::Text(own.as_str().into());
        let text = print(&value);
        // serde_json is the outside reader; only the line feed at the end may be a control in the text itself.
        let back: String = serde_json::from_str(&text).expect("JSON");
        assert_eq!(back, own);
        assert_eq!(text.chars().filter(|c| c.is_control()).count(), 1);
    }
}
