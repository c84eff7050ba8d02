//! Tells the format of a text from its first entry, whatever a later format does with the rest.

/// The number behind `(format:`, with or without a name before the bracket.
pub(super) fn format_of(text: &str) -> Option<u32> {
    let rest = skip_blank(text);
    let rest = skip_blank(rest.trim_start_matches(is_name));
    let rest = skip_blank(rest.strip_prefix('(')?);
    let rest = skip_blank(rest.strip_prefix("format")?);
    let rest = skip_blank(rest.strip_prefix(':')?);
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    let next = rest.get(end..)?.chars().next();
    if next.is_some_and(is_name) {
        return None;
    }
    rest.get(..end)?.parse().ok()
}

fn is_name(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Steps over white space, comments, and `#![...]` lines.
fn skip_blank(mut text: &str) -> &str {
    loop {
        text = text.trim_start();
        let after = if text.starts_with("//") || text.starts_with("#![") {
            text.split_once('\n').map(|(_, rest)| rest)
        } else if text.starts_with("/*") {
            text.split_once("*/").map(|(_, rest)| rest)
        } else {
            return text;
        };
        match after {
            Some(rest) => text = rest,
            None => return "",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tells_the_format() {
        for (text, expected) in [
            ("(format: 1)", Some(1)),
            ("(format:1,", Some(1)),
            (
                "  // my yard\n ( /* new */ format : 23 , whatever {{{",
                Some(23),
            ),
            (
                "#![enable(unwrap_newtypes)]\nYard(format: 2, x: @)",
                Some(2),
            ),
            ("(name: \"\", format: 1)", None),
            ("(format: )", None),
            ("(format: -1)", None),
            ("(format: 1x)", None),
            ("(format: 99999999999)", None),
            ("(formats: 1)", None),
            ("/* never closed", None),
            ("// only this", None),
            ("", None),
            ("format: 1", None),
        ] {
            assert_eq!(format_of(text), expected, "{text:?}");
        }
    }
}
