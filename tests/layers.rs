//! Imports point downwards only: every `crate::` path in `src/` is held to the table of layers in
//! `DEVELOPERS.md`.
//!
//! Test code (`#[cfg(test)]`) is exempt: a test of a low layer may build its music with a higher one,
//! and nothing that is shipped depends on it. Comments are exempt too: documentation may point upwards.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use std::fs;
use std::path::{Path, PathBuf};

/// From the lowest layer to the highest; within a row a module sees only those to its left.
const LAYERS: [&[&str]; 10] = [
    &["text_serde", "quote", "source"],
    &["interval", "pitch", "tuning"],
    &["time", "meter", "key", "scale", "chord"],
    &["line", "voice", "ensemble", "score"],
    &["harmony", "subject", "answer", "exposition"],
    &["texture"],
    &["rules"],
    &["combine", "recognize", "remedy", "compose"],
    &["interchange"],
    &["error"],
];

/// What the formats see of the rules: a finding and what it is made of.
const FINDING: [&str; 6] = ["Finding", "Remedy", "Change", "Evidence", "Severity", "RuleId"];

#[test]
fn imports_point_downwards() {
    let wrong: Vec<String> = sources().iter().flat_map(Source::wrong_imports).collect();
    assert!(wrong.is_empty(), "these imports point upwards:\n{}", wrong.join("\n"));
}

#[test]
fn every_module_has_its_place_in_the_table() {
    let sources = sources();
    assert!(sources.len() > 100, "only {} files were found", sources.len());
    for source in &sources {
        assert!(rank(&source.module[0]).is_some(), "add {} to the table of layers", source.name);
    }
}

#[test]
fn wrong_import_is_found_however_it_is_written() {
    for text in [
        "use crate::key::Key;",
        "pub(crate) use crate::key::Key;",
        "use crate::{interval::{Interval, Quality}, key::{self as keys}};",
        "use crate::{\n    interval::Interval,\n    key,\n};",
        "fn tonic() { crate::key::Key::new() }",
        "macro_rules! key { () => { $crate::key::Key }; }",
        "use super::super::key::Key;",
        "#[cfg(test)]\nuse crate::line::Line;\nuse crate::key::Key;",
        "const BRACE: char = '{'; #[cfg(test)] mod tests { } use crate::key::Key;",
        "fn of<'a>(text: &'a str) -> &'a crate::key::Key { }",
    ] {
        assert_eq!(planted(text), ["src/pitch/letter.rs: pitch must not see crate::key"], "{text}");
    }
    assert_eq!(planted("use crate::Error;"), ["src/pitch/letter.rs: pitch must not see crate::Error"]);
    assert_eq!(planted("use crate::tuning::Ratio;").len(), 1, "tuning stands to the right of pitch");
}

#[test]
fn innocent_text_is_no_import() {
    for text in [
        "use crate::interval::Interval; use super::class::PitchClass; use crate::quote::excerpt;",
        "//! The keys are in [`crate::key`].\n/* crate::key */",
        "const TEXT: &str = \"use crate::key::Key;\"; const RAW: &str = r#\"crate::key \" \"#;",
        "#[cfg(test)]\nmod tests {\n    use crate::key::Key;\n    fn any() { }\n}",
        "#[cfg(test)]\nfn any_pitch() -> crate::key::Key { [0; 2] }",
        "pub(crate) struct Letter; // pub(crate)",
    ] {
        assert!(planted(text).is_empty(), "{text}: {:?}", planted(text));
    }
}

#[test]
fn formats_see_findings_and_no_rule() {
    let path = Path::new("interchange/json/review.rs");
    let sees = |text: &str| Source::new(path, text).wrong_imports();
    assert!(sees("use crate::rules::{Evidence, Finding};").is_empty());
    assert_eq!(sees("use crate::rules::RuleBook;").len(), 1);
    assert_eq!(sees("use crate::rules;").len(), 1);
}

fn planted(text: &str) -> Vec<String> {
    Source::new(Path::new("pitch/letter.rs"), text).wrong_imports()
}

/// Layer and place in it.
fn rank(module: &str) -> Option<(usize, usize)> {
    let place = |layer: &&[&str]| layer.iter().position(|name| *name == module);
    LAYERS.iter().enumerate().find_map(|(row, layer)| Some((row, place(layer)?)))
}

/// Whether a module may see a path from the root of the crate.
fn may_see(own: &str, path: &[String]) -> bool {
    if own == path[0] {
        return true;
    }
    if own == "interchange" && path[0] == "rules" {
        return path.get(1).is_some_and(|name| FINDING.contains(&name.as_str()));
    }
    rank(&path[0]).is_some_and(|place| Some(place) < rank(own))
}

/// A file of `src/`, without comments, texts and tests.
struct Source {
    name: String,
    module: Vec<String>,
    tokens: Vec<String>,
    /// The modules declared in it for tests alone.
    test_modules: Vec<Vec<String>>,
}

impl Source {
    /// A file by its path in `src/`.
    fn new(path: &Path, text: &str) -> Self {
        let parts = path.with_extension("");
        let mut module: Vec<String> = parts.iter().map(|part| part.to_str().unwrap().to_owned()).collect();
        module.pop_if(|last| last == "mod");
        let (tokens, tests) = without_tests(&tokens(text));
        let test_modules = tests.into_iter().map(|name| [&module[..], &[name]].concat()).collect();
        Self { name: format!("src/{}", path.display()), module, tokens, test_modules }
    }

    fn wrong_imports(&self) -> Vec<String> {
        let own = &self.module[0];
        let wrong = self.paths().into_iter().filter(|path| !may_see(own, path));
        wrong.map(|path| format!("{}: {own} must not see crate::{}", self.name, path[0])).collect()
    }

    /// All paths that reach the root of the crate, by `crate` or by `super`.
    fn paths(&self) -> Vec<Vec<String>> {
        let mut paths = Vec::new();
        for (at, token) in self.tokens.iter().enumerate() {
            let goes_on = at > 0 && self.tokens[at - 1] == "::";
            match token.as_str() {
                "crate" if !goes_on => paths.extend(tree(&self.tokens, &mut at.clone(), Vec::new())),
                "super" if !goes_on => paths.extend(tree(&self.tokens, &mut at.clone(), self.module.clone())),
                _ => {}
            }
        }
        paths.retain(|path| !path.is_empty());
        paths
    }
}

/// The files of `src/` that are shipped, `lib.rs` left out: it stands on top and sees everything.
fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    collect(&root, &mut files);
    let relative = |path: &PathBuf| path.strip_prefix(&root).unwrap().to_owned();
    let read = |path: &PathBuf| Source::new(&relative(path), &fs::read_to_string(path).unwrap());
    let sources: Vec<Source> = files.iter().map(read).collect();
    let tests: Vec<Vec<String>> = sources.iter().flat_map(|source| source.test_modules.clone()).collect();
    let shipped = |source: &Source| {
        source.module != ["lib"] && !tests.iter().any(|test| source.module.starts_with(test))
    };
    sources.into_iter().filter(shipped).collect()
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files.sort();
}

/// Reads a path, or a tree of paths in braces, that goes on from a base.
fn tree(tokens: &[String], at: &mut usize, base: Vec<String>) -> Vec<Vec<String>> {
    let token = |at: usize| tokens.get(at).map_or("", String::as_str);
    let mut path = base;
    loop {
        match token(*at) {
            "{" => return branches(tokens, at, &path),
            "super" => drop(path.pop()),
            "crate" | "self" | "*" => {}
            word => path.push(word.to_owned()),
        }
        *at += 1;
        if token(*at) != "::" {
            return vec![path];
        }
        *at += 1;
    }
}

/// Reads the branches of a tree, from its opening brace on.
fn branches(tokens: &[String], at: &mut usize, base: &[String]) -> Vec<Vec<String>> {
    let token = |at: usize| tokens.get(at).map_or("}", String::as_str);
    let mut paths = Vec::new();
    *at += 1;
    while token(*at) != "}" {
        paths.extend(tree(tokens, at, base.to_vec()));
        while !matches!(token(*at), "," | "}") {
            *at += 1;
        }
        *at += usize::from(token(*at) == ",");
    }
    *at += 1;
    paths
}

/// The tokens without what stands under `#[cfg(test)]`, and the names of the modules declared there.
fn without_tests(tokens: &[String]) -> (Vec<String>, Vec<String>) {
    const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let (mut shipped, mut modules, mut at) = (Vec::new(), Vec::new(), 0);
    while at < tokens.len() {
        if !tokens[at..].iter().map(String::as_str).take(MARK.len()).eq(MARK) {
            shipped.push(tokens[at].clone());
            at += 1;
            continue;
        }
        at += MARK.len();
        let end = at + item(&tokens[at..]);
        if let Some(name) = tokens[at..end].iter().position(|token| token == "mod") {
            modules.push(tokens[at + name + 1].clone());
        }
        at = end;
    }
    (shipped, modules)
}

/// How many tokens the item has that begins here: it ends with a semicolon or a closing brace.
fn item(tokens: &[String]) -> usize {
    let mut depth = 0_usize;
    for (at, token) in tokens.iter().enumerate() {
        match token.as_str() {
            "(" | "[" | "{" => depth += 1,
            ")" | "]" | "}" => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 && matches!(token.as_str(), ";" | "}") {
            return at + 1;
        }
    }
    tokens.len()
}

/// Words, `::` and single signs; comments and texts are left out.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let skipped = blank(rest);
        if skipped > 0 {
            rest = &rest[skipped..];
            continue;
        }
        let is_word = |sign: char| sign.is_alphanumeric() || sign == '_';
        let length = match rest.find(|sign| !is_word(sign)).unwrap_or(rest.len()) {
            0 if rest.starts_with("::") => 2,
            0 => sign.len_utf8(),
            word => word,
        };
        tokens.push(rest[..length].to_owned());
        rest = &rest[length..];
    }
    tokens
}

/// How many bytes of comment, text or space a text begins with.
fn blank(text: &str) -> usize {
    let through =
        |end: &str, from: usize| text[from..].find(end).map_or(text.len(), |at| from + at + end.len());
    if text.starts_with("//") {
        return through("\n", 2);
    }
    if text.starts_with("/*") {
        return through("*/", 2);
    }
    let hashes = text.trim_start_matches('r').bytes().take_while(|&byte| byte == b'#').count();
    if text.starts_with(&format!("r{}\"", "#".repeat(hashes))) {
        return through(&format!("\"{}", "#".repeat(hashes)), hashes + 2);
    }
    match text.as_bytes() {
        [b'"', ..] => quoted(text, '"'),
        [b'\'', b'\\', ..] => quoted(text, '\''),
        // A character and not a lifetime: one sign between quotes.
        [b'\'', ..] if text.chars().nth(2) == Some('\'') => quoted(text, '\''),
        _ => text.len() - text.trim_start().len(),
    }
}

/// How many bytes a text in quotes has, an escaped quote being part of it.
fn quoted(text: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, sign) in text.char_indices().skip(1) {
        match sign {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            _ if sign == quote => return at + quote.len_utf8(),
            _ => {}
        }
    }
    text.len()
}
