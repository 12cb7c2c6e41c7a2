//! Who takes a whole line: a function that reads one part of it takes that part.

/// Code without what stands in comments and quotes, and without the unit tests at its end.
fn bare(text: &str) -> String {
    let own = text.split("#[cfg(test)]\nmod ").next().unwrap_or("");
    let mut out = String::new();
    let mut rest = own.chars().peekable();
    let mut before = ' ';
    while let Some(c) = rest.next() {
        match c {
            '/' if rest.peek() == Some(&'/') => while rest.next_if(|c| *c != '\n').is_some() {},
            '"' => {
                let raw = before == '#' || before == 'r';
                while let Some(c) = rest.next() {
                    if c == '\\' && !raw {
                        rest.next();
                    } else if c == '"' {
                        break;
                    }
                }
                out.push_str("\"\"");
            }
            // A letter in quotes, and not a lifetime.
            '\'' => {
                let mut ahead = rest.clone();
                let first = ahead.next();
                let long = first == Some('\\');
                if long || ahead.next() == Some('\'') {
                    rest.next();
                    if long {
                        rest.next();
                    }
                    while rest.next().is_some_and(|c| c != '\'') {}
                } else {
                    out.push(c);
                }
            }
            _ => out.push(c),
        }
        before = c;
    }
    out
}

/// What stands between a bracket at the start of a text and the one that closes it.
fn inside(text: &str) -> &str {
    let mut depth = 0usize;
    for (at, c) in text.char_indices() {
        match c {
            '(' | '{' => depth += 1,
            ')' | '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return &text[1..at.max(1)];
        }
    }
    ""
}

fn word(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_');
    &text[..end.unwrap_or(text.len())]
}

/// How a function uses its line: the parts that it reads, and whether it hands the whole on.
fn uses<'a>(body: &'a str, line: &str) -> (Vec<&'a str>, bool) {
    let (mut parts, mut hands_on) = (Vec::new(), false);
    for (at, _) in body.match_indices(line) {
        let before = &body[..at];
        let spread = before.ends_with("..");
        let other = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
        let rest = &body[at + line.len()..];
        if (before.ends_with(other) && !spread) || !word(rest).is_empty() {
            continue;
        }
        match rest.trim_start().strip_prefix('.') {
            Some(part) => {
                let part = part.trim_start();
                let name = word(part);
                if part[name.len()..].starts_with(['(', ':']) {
                    hands_on = true;
                } else {
                    parts.push(name);
                }
            }
            None => hands_on = true,
        }
    }
    parts.sort_unstable();
    parts.dedup();
    (parts, hands_on)
}

/// Functions of a file that take a whole line and read at most one part of it.
fn wide(text: &str) -> Vec<(String, String)> {
    let code = bare(text);
    let of_line = |at: usize| {
        let before = &code[..at];
        before
            .rfind("\nimpl")
            .is_some_and(|i| before[i..].starts_with("\nimpl Line {"))
    };
    let mut out = Vec::new();
    for (at, _) in code.match_indices("fn ") {
        let name = word(&code[at + 3..]);
        let Some(open) = code[at..].find('(').map(|i| at + i) else {
            continue;
        };
        let taken = inside(&code[open..]);
        let behind = &code[open + taken.len() + 2..];
        let Some(begin) = behind.find(['{', ';']) else {
            continue;
        };
        let body = inside(&behind[begin..]);
        let whole = taken.split(',').find_map(|one| {
            let (name, kind) = one.split_once(':').unwrap_or((one, ""));
            let kind = kind.trim().strip_prefix('&').unwrap_or("");
            let is = kind.split_whitespace().next_back() == Some("Line");
            let itself = name.trim() == "&self" && of_line(at);
            (is || itself).then(|| name.trim().trim_start_matches('&'))
        });
        let Some(whole) = whole.filter(|_| behind[begin..].starts_with('{')) else {
            continue;
        };
        let (parts, hands_on) = uses(body, whole);
        if parts.len() < 2 && !hands_on {
            out.push((name.to_owned(), parts.join("")));
        }
    }
    out
}

/// What takes a whole line for one part of it, or for none. A front of a room hands the line on or reads several parts: it is not seen here.
pub fn found(sources: &[(String, String)]) -> Vec<String> {
    let all = sources
        .iter()
        .flat_map(|(path, text)| wide(text).into_iter().map(move |w| (path, w)));
    all.map(|(path, (name, part))| format!("{path}: {name} reads {part} alone"))
        .collect()
}

#[test]
fn a_function_that_takes_too_much_is_seen() {
    let names = |text: &str| {
        let all = wide(text).into_iter();
        all.map(|(name, part)| format!("{name} {part}"))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let one = "fn a(line: &Line, x: f64) -> f64 {\n    line\n        .geometry.length_m() + x\n}\n";
    assert_eq!(names(one), "a geometry");
    assert_eq!(
        names("fn b<'a>(of: &'a Line) -> &'a str { \"of\" }\n"),
        "b "
    );
    assert_eq!(
        names("\nimpl Line {\n    pub fn c(&self) -> bool { self.outlet.is_some() }\n}\n"),
        "c outlet"
    );
    for right in [
        "fn d(line: &Line) -> f64 { line.geometry.length_m() + line.intake.level_m }\n",
        "fn e(line: &Line) -> f64 { d(line) }\n",
        "fn f(line: &Line) -> Line { Line { reaches, ..line.clone() } }\n",
        "fn g(line: &Line) -> f64 { line.nozzle_elevation_m() }\n",
        "fn h(line: &Geometry) -> f64 { line.length_m() }\n",
        "impl Reach {\n    fn i(&self) -> f64 { self.to_m }\n}\n",
        "// fn j(line: &Line) {}\n#[cfg(test)]\nmod tests {\n    fn k(line: &Line) {}\n}\n",
    ] {
        assert_eq!(names(right), "", "{right}");
    }
}
