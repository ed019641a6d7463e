//! What can be told of an SVG from its bytes alone, before a parser makes a tree of them.
//!
//! An XML parser compares the attributes of a tag with each other, copies the namespaces of every element that declares one, and writes out entities
//! wherever they are named. Each of these can be made to cost the square of the file or more, so each is counted first.

use super::super::error::ImportError;
use super::svg_error;

/// Most attributes of one tag; drawing programs write some thirty.
const MOST_IN_TAG: usize = 300;
/// Most attributes in all.
const MOST_ATTRIBUTES: usize = 2_000_000;
/// Most copies of namespaces the parser would make.
const MOST_NAMESPACE_COPIES: usize = 4_000_000;
/// Most entities that are declared; a drawing program declares a dozen, for the addresses of its namespaces.
const MOST_ENTITIES: usize = 100;
/// Longest entity, bytes.
const LONGEST_ENTITY: usize = 4_096;
/// Most bytes that entities may grow to.
const MOST_FROM_ENTITIES: usize = 10 << 20;

/// The bytes as text, if a parser can take them.
pub(super) fn judge(data: &[u8]) -> Result<&str, ImportError> {
    let text = std::str::from_utf8(data).map_err(|error| {
        svg_error(format!(
            "byte {} is not text: save the drawing again as SVG in UTF-8",
            error.valid_up_to() + 1
        ))
    })?;
    let mut count = Count::default();
    let mut rest = data;
    while let Some(at) = rest.iter().position(|b| *b == b'<') {
        let tag = rest.get(at..).unwrap_or_default();
        let length = if tag.starts_with(b"<!--") {
            after(tag, b"-->")
        } else if tag.starts_with(b"<![CDATA[") {
            after(tag, b"]]>")
        } else if tag.starts_with(b"<?") {
            after(tag, b"?>")
        } else if tag.starts_with(b"<!ENTITY") {
            count.entity(tag)?
        } else if tag.starts_with(b"<!") {
            // The inside of a document type is gone through as any other text.
            2
        } else {
            count.tag(tag)?
        };
        rest = tag.get(length.max(1)..).unwrap_or_default();
    }
    count.judge(data)?;
    Ok(text)
}

/// Length up to and with the end mark; the whole where it is missing.
fn after(text: &[u8], end: &[u8]) -> usize {
    let found = text.windows(end.len()).position(|w| w == end);
    found.map_or(text.len(), |at| at + end.len())
}

#[derive(Default)]
struct Count {
    attributes: usize,
    namespaces: usize,
    prefixes: usize,
    entities: usize,
    longest_entity: usize,
}

impl Count {
    /// Counts what a tag holds and gives its length.
    fn tag(&mut self, tag: &[u8]) -> Result<usize, ImportError> {
        let mut in_tag = 0;
        let (mut i, mut length) = (0, tag.len());
        while let Some(byte) = tag.get(i) {
            i += 1;
            match byte {
                b'"' | b'\'' => {
                    // On behind the closing quote: most of a drawing stands between two of them.
                    let rest = tag.get(i..).unwrap_or_default();
                    let close = rest.iter().position(|b| b == byte);
                    i += close.map_or(rest.len(), |at| at + 1);
                }
                b'>' => {
                    length = i;
                    break;
                }
                b'=' => in_tag += 1,
                b'x' if tag.get(i..).is_some_and(|t| t.starts_with(b"mlns")) => {
                    self.namespaces += 1;
                    self.prefixes += usize::from(tag.get(i + 4) == Some(&b':'));
                }
                _ => {}
            }
        }
        self.attributes += in_tag;
        if in_tag > MOST_IN_TAG {
            return Err(svg_error(format!(
                "a tag has {in_tag} attributes, more than any drawing: save it again as plain SVG"
            )));
        }
        Ok(length)
    }

    /// Judges the declaration of an entity and gives its length.
    fn entity(&mut self, tag: &[u8]) -> Result<usize, ImportError> {
        let length = after(tag, b">");
        let declared = tag.get(..length).unwrap_or_default();
        self.entities += 1;
        self.longest_entity = self.longest_entity.max(length);
        let value = declared.get(1..).unwrap_or_default();
        if value.iter().any(|b| matches!(b, b'&' | b'<')) {
            return Err(svg_error(
                "an entity is made of others or of elements: save the drawing again as plain SVG",
            ));
        }
        Ok(length)
    }

    fn judge(&self, data: &[u8]) -> Result<(), ImportError> {
        if self.attributes > MOST_ATTRIBUTES {
            return Err(svg_error(format!(
                "the drawing has more than {MOST_ATTRIBUTES} attributes: save the knife alone"
            )));
        }
        if self.namespaces.saturating_mul(self.prefixes + 1) > MOST_NAMESPACE_COPIES {
            return Err(svg_error(
                "the drawing declares namespaces over and over: save it again as plain SVG",
            ));
        }
        if self.entities == 0 {
            return Ok(());
        }
        let named = data.iter().filter(|b| **b == b'&').count();
        if self.entities > MOST_ENTITIES
            || self.longest_entity > LONGEST_ENTITY
            || named.saturating_mul(self.longest_entity) > MOST_FROM_ENTITIES
        {
            return Err(svg_error(
                "the drawing's entities would fill the memory: save it again as plain SVG",
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(text: &str) -> String {
        judge(text.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn usual_files_pass() {
        for text in [
            "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d='M0 0'/></svg>",
            "<!DOCTYPE svg [<!ENTITY ns \"http://example.org/a>b\">]><svg a=\"&ns;\"/>",
            "<!-- <a a= b= > --><svg><![CDATA[ <x = = ]]></svg>",
            "<svg",
            "<",
            "<!--",
            "<![CDATA[",
        ] {
            assert_eq!(judge(text.as_bytes()), Ok(text));
        }
    }

    #[test]
    fn what_would_grow_is_refused() {
        let many: String = (0..400).map(|i| format!(" a{i}='1'")).collect();
        assert!(refused(&format!("<svg{many}/>")).contains("400 attributes"));
        assert!(
            refused("<!DOCTYPE svg [<!ENTITY a 'b'><!ENTITY c '&a;&a;'>]>")
                .contains("made of others")
        );
        let names = "&a;".repeat(100_000);
        let entity = format!(
            "<!DOCTYPE svg [<!ENTITY a '{}'>]><svg>{names}</svg>",
            "x".repeat(4000)
        );
        assert!(refused(&entity).contains("fill the memory"));
        let spaces = "<g xmlns:a='b' xmlns:c='d'/>".repeat(5_000);
        assert!(refused(&spaces).contains("namespaces"));
        assert!(
            judge(b"\xff")
                .unwrap_err()
                .to_string()
                .starts_with("byte 1 ")
        );
    }
}
