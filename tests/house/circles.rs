//! Who needs whom, file by file: a circle of files is a knot that nobody can read from the bottom up.

use std::collections::{BTreeMap, BTreeSet};

type Path = Vec<String>;

/// A file as the others see it.
struct Module {
    code: String,
    /// Name it is known by here, the path behind it, and whether it is handed on.
    names: Vec<(String, Path, bool)>,
}

/// Comments, the unit tests at the end and the reach of a visibility are no use of anything.
fn code(text: &str) -> String {
    let own = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
    let mut out = String::new();
    for line in own.lines() {
        let line = line.split("//").next().unwrap_or("");
        let mut rest = line;
        while let Some((before, after)) = rest.split_once("pub(in ") {
            out.push_str(before);
            out.push_str("pub ");
            rest = after.split_once(')').map_or("", |(_, a)| a);
        }
        out.push_str(rest);
        out.push('\n');
    }
    out
}

/// Every path of a tree of imports, with the name it is known by.
fn leaves(tree: &str, before: &[String], out: &mut Vec<(String, Path)>) {
    let tree = tree.trim();
    if tree.is_empty() {
        // after the last comma
        return;
    }
    if let Some((head, inner)) = tree.split_once('{') {
        let mut path = before.to_vec();
        path.extend(words(head));
        let inner = inner.rsplit_once('}').map_or("", |(i, _)| i);
        let (mut depth, mut from) = (0i32, 0);
        for (at, c) in inner.char_indices() {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 0 => {
                    leaves(&inner[from..at], &path, out);
                    from = at + 1;
                }
                _ => {}
            }
        }
        leaves(&inner[from..], &path, out);
        return;
    }
    let (path_text, known) = tree
        .split_once(" as ")
        .map_or((tree, None), |(p, k)| (p, Some(k)));
    let mut path = before.to_vec();
    path.extend(words(path_text));
    if path.last().is_some_and(|p| p == "self") && path.len() > 1 {
        path.pop();
    }
    if let Some(last) = path.last().cloned() {
        out.push((known.map_or(last, |k| k.trim().to_owned()), path));
    }
}

fn words(path: &str) -> Path {
    path.split("::")
        .map(|w| w.trim().to_owned())
        .filter(|w| !w.is_empty())
        .collect()
}

/// The imports of a file.
fn imports(code: &str) -> Vec<(String, Path, bool)> {
    let mut out = Vec::new();
    for (at, _) in code.match_indices("use ") {
        let before = code[..at].rsplit('\n').next().unwrap_or("").trim();
        if !(before.is_empty() || before.starts_with("pub")) {
            continue;
        }
        let tree = code[at + 4..].split(';').next().unwrap_or("");
        let mut found = Vec::new();
        leaves(tree, &[], &mut found);
        out.extend(
            found
                .into_iter()
                .map(|(name, path)| (name, path, before.starts_with("pub"))),
        );
    }
    out
}

struct House(BTreeMap<Path, Module>);

impl House {
    /// The file that a path leads to, as seen from a file.
    fn leads(&self, from: &[String], path: &[String], deep: usize) -> Option<Path> {
        let mut at: Path = from.to_vec();
        let mut rest = path;
        match rest.first()?.as_str() {
            "crate" => at.clear(),
            "self" | "super" => {}
            first => {
                at.push(first.to_owned());
                if !self.0.contains_key(&at) {
                    return None;
                }
            }
        }
        while rest.first().is_some_and(|w| w == "super") {
            at.pop();
            rest = &rest[1..];
        }
        if rest.len() == path.len() {
            rest = &rest[1..];
        }
        for (i, word) in rest.iter().enumerate() {
            let mut below = at.clone();
            below.push(word.clone());
            if self.0.contains_key(&below) {
                at = below;
                continue;
            }
            let handed = self.0.get(&at).into_iter().flat_map(|m| &m.names);
            let onward = handed
                .filter(|(name, _, public)| *public && (name == word || name == "*"))
                .filter(|_| deep < 6)
                .find_map(|(name, path, _)| {
                    let mut path = path.clone();
                    if name == "*" {
                        path.pop();
                        let file = self.leads(&at, &path, deep + 1)?;
                        let code = &self.0.get(&file)?.code;
                        let defined = ["struct ", "enum ", "fn ", "type ", "const ", "trait "]
                            .iter()
                            .any(|kind| {
                                code.split(&format!("pub {kind}{word}"))
                                    .skip(1)
                                    .any(|after| {
                                        !after
                                            .starts_with(|c: char| c.is_alphanumeric() || c == '_')
                                    })
                            });
                        return defined.then_some(file);
                    }
                    path.extend(rest[i + 1..].iter().cloned());
                    self.leads(&at, &path, deep + 1)
                });
            return Some(onward.unwrap_or(at));
        }
        Some(at)
    }

    /// The files that a file needs.
    fn needs(&self, from: &Path, module: &Module) -> BTreeSet<Path> {
        let mut needed: Vec<Path> = Vec::new();
        let own = module.names.iter().filter(|(_, _, public)| !public);
        needed.extend(own.map(|(_, path, _)| path.clone()));
        let is_word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
        let mut text = module.code.clone();
        for (at, _) in module
            .code
            .match_indices("use ")
            .collect::<Vec<_>>()
            .into_iter()
            .rev()
        {
            let end = text[at..].find(';').map_or(text.len(), |e| at + e);
            text.replace_range(at..end, "");
        }
        for path in text.split(|c| !is_word(c)).filter(|w| w.contains("::")) {
            let path = words(path);
            let known = module
                .names
                .iter()
                .find(|(name, ..)| Some(name) == path.first());
            match known {
                Some((_, behind, _)) => {
                    needed.push(behind.iter().chain(&path[1..]).cloned().collect());
                }
                None => needed.push(path),
            }
        }
        let found = needed.iter().filter(|p| !p.is_empty());
        found
            .filter_map(|path| self.leads(from, path, 0))
            .filter(|to| to != from)
            .collect()
    }
}

/// Every file with the files that it needs.
pub fn needs(sources: &[(Path, String)]) -> BTreeMap<Path, BTreeSet<Path>> {
    let house = House(
        sources
            .iter()
            .map(|(path, text)| {
                let code = code(text);
                let names = imports(&code);
                (path.clone(), Module { code, names })
            })
            .collect(),
    );
    let all = house.0.iter();
    all.map(|(path, module)| (path.clone(), house.needs(path, module)))
        .collect()
}

/// Files that need each other in a circle, each with the next one on its way round.
pub fn circles(sources: &[(Path, String)]) -> Vec<String> {
    let needs = needs(sources);
    let reached = |from: &Path| {
        let mut seen = BTreeSet::new();
        let mut open: Vec<&Path> = vec![from];
        while let Some(at) = open.pop() {
            for next in needs.get(at).into_iter().flatten() {
                if seen.insert(next.clone()) {
                    open.push(next);
                }
            }
        }
        seen
    };
    let all: BTreeMap<&Path, BTreeSet<Path>> = needs.keys().map(|p| (p, reached(p))).collect();
    let in_circle = |a: &Path| all.get(a).is_some_and(|r| r.contains(a));
    needs
        .iter()
        .filter(|(from, _)| in_circle(from))
        .flat_map(|(from, to)| {
            let back = to
                .iter()
                .filter(|t| all.get(t).is_some_and(|r| r.contains(from)));
            back.map(|t| format!("{} -> {}", from.join("/"), t.join("/")))
                .collect::<Vec<_>>()
        })
        .collect()
}

#[test]
fn a_circle_is_seen_through_what_a_room_hands_on() {
    let file = |path: &str, text: &str| (words(path), text.to_owned());
    let house = [
        file("", "pub mod a;\n"),
        file("a", "mod low;\nmod high;\npub use low::Thing;\n"),
        file("a::low", "use super::high::work;\npub struct Thing;\n"),
        file(
            "a::high",
            "use crate::{\n    a::Thing,\n    other,\n};\npub fn work() {}\n",
        ),
    ];
    assert_eq!(circles(&house), ["a/high -> a/low", "a/low -> a/high"]);
    let straight = [
        file("a", "mod low;\nmod high;\npub use low::Thing;\n"),
        file("a::low", "// use super::high::work;\npub struct Thing;\n"),
        file("a::high", "pub(in crate::a) fn work(_: super::Thing) {}\n"),
    ];
    assert!(circles(&straight).is_empty());
}
