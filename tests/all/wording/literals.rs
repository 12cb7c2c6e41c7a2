//! The texts that stand in the code: what a run does not reach, a fault above all, is read where it is written.

/// The literals of a Rust source with more than two words: comments, test modules and attributes left out.
pub fn of(source: &str) -> Vec<String> {
    let letters: Vec<char> = code(source).chars().collect();
    let (mut out, mut i) = (Vec::new(), 0);
    while i < letters.len() {
        let rest = &letters[i..];
        i += match rest {
            ['/', '/', ..] => until(rest, &['\n']),
            ['/', '*', ..] => until(rest, &['*', '/']),
            ['#', '[', ..] => until(rest, &[']']),
            ['r', '"', ..] => raw(rest, 0, &mut out),
            ['r', '#', '"', ..] => raw(rest, 1, &mut out),
            ['"', ..] => plain(rest, &mut out),
            ['\'', '\\', ..] => 2 + until(&rest[2..], &['\'']),
            ['\'', _, '\'', ..] => 3,
            _ => 1,
        };
    }
    out.retain(|text: &String| text.split_whitespace().count() > 2);
    out
}

/// The literals of the page's script with more than two words, a line at a time: a pattern with quotes in it spoils its own line alone.
pub fn script(source: &str) -> Vec<String> {
    let mut out = Vec::new();
    let said = |line: &&str| !line.starts_with("//") && !line.starts_with(['*', '/']);
    for mut rest in source.lines().map(str::trim).filter(said) {
        while let Some(at) = rest.find(['"', '`']) {
            let (mark, after) = (&rest[at..=at], &rest[at + 1..]);
            let Some(end) = after.find(mark) else { break };
            out.push(after[..end].to_owned());
            rest = &after[end + 1..];
        }
    }
    out.retain(|text: &String| text.split_whitespace().count() > 2);
    out
}

/// The source before the test module that is written out in it; one in a file of its own ends nothing.
fn code(source: &str) -> &str {
    const MARK: &str = "#[cfg(test)]\nmod ";
    let mut marks = source.match_indices(MARK).map(|(at, _)| at);
    let written_out = |at: &usize| {
        let line = source[at + MARK.len()..].lines().next();
        line.is_some_and(|line| line.contains('{'))
    };
    marks.find(written_out).map_or(source, |at| &source[..at])
}

/// How many letters to the end of the first place where these stand.
fn until(letters: &[char], end: &[char]) -> usize {
    let at = letters.windows(end.len()).position(|w| w == end);
    at.map_or(letters.len(), |at| at + end.len())
}

fn raw(letters: &[char], hashes: usize, out: &mut Vec<String>) -> usize {
    let begin = hashes + 2;
    let mut end = vec!['"'];
    end.extend(std::iter::repeat_n('#', hashes));
    let length = until(&letters[begin..], &end);
    out.push(letters[begin..begin + length - end.len()].iter().collect());
    begin + length
}

fn plain(letters: &[char], out: &mut Vec<String>) -> usize {
    let (mut text, mut i) = (String::new(), 1);
    while i < letters.len() && letters[i] != '"' {
        if letters[i] != '\\' {
            text.push(letters[i]);
            i += 1;
            continue;
        }
        match letters[i + 1] {
            '\n' => {
                i += 2;
                while letters[i].is_whitespace() {
                    i += 1;
                }
                continue;
            }
            'u' => {
                let length = until(&letters[i..], &['}']);
                let code: String = letters[i + 3..i + length - 1].iter().collect();
                text.extend(u32::from_str_radix(&code, 16).ok().and_then(char::from_u32));
                i += length;
                continue;
            }
            'n' => text.push('\n'),
            't' => text.push('\t'),
            other => text.push(other),
        }
        i += 2;
    }
    out.push(text);
    i + 1
}

#[test]
fn what_a_source_says_is_read_out_of_it() {
    let source = "/// not this \"one here\"\n#[doc = \"nor this one\"]\nfn a() { let q = '\"'; f(\"one \\\"two\\\" \\u{b0} three\"); g(r#\"four \"five\" six\"#); h(\"seven \\\n   eight nine\") }\n#[cfg(test)]\nmod apart;\nfn b() { f(\"ten eleven twelve\") }\n#[cfg(test)]\nmod t { f(\"not this one\") }";
    assert_eq!(
        of(source),
        [
            "one \"two\" \u{b0} three",
            "four \"five\" six",
            "seven eight nine",
            "ten eleven twelve"
        ]
    );
}

#[test]
fn what_a_script_says_is_read_out_of_it() {
    let source = "// \"not this one\"\nfill(p, `one ${two} three`, \"four five six\");\n/** \"nor this one\" */";
    assert_eq!(script(source), ["one ${two} three", "four five six"]);
}
