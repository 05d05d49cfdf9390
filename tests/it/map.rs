//! The map of DEVELOPERS.md, held against the paths that the sources name: which room uses which,
//! that data flows one way, and that no two files of a room need each other.
//!
//! Sources are read as text, without a parser of the language: rustfmt has laid them out, so the
//! end of an item stands at the indent of its first line.

use crate::support::shell::project;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Where a file stands below `crate`: `["layout", "nested", "sizes"]`.
type Module = Vec<String>;

/// What each module names, in itself or in another.
struct Sources {
    /// Every path that a module names, from the crate's root.
    named: BTreeMap<Module, BTreeSet<Module>>,
    /// Where a name that a module hands on comes from.
    handed_on: BTreeMap<Module, Module>,
}

impl Sources {
    /// Of everything in src but its tests.
    fn read() -> Self {
        let mut texts = BTreeMap::new();
        gather(&project("src"), &[], &mut texts);
        let mut sources = Self {
            named: BTreeMap::new(),
            handed_on: BTreeMap::new(),
        };
        for (module, text) in &texts {
            let mut named = BTreeSet::new();
            let (uses, rest) = uses_and_rest(text);
            for used in uses {
                for (path, alias) in leaves(&used.tree) {
                    let Some(path) = absolute(&path, module, &texts) else {
                        continue;
                    };
                    if used.handed_on {
                        let name = [module.as_slice(), &[alias]].concat();
                        sources.handed_on.insert(name, path.clone());
                    }
                    // What is only handed on to others is not needed here.
                    if !used.handed_on || path.first() != module.first() {
                        named.insert(path);
                    }
                }
            }
            let is_path = |letter: char| letter.is_alphanumeric() || "_:".contains(letter);
            let words = rest.split(|letter| !is_path(letter));
            let paths = words.filter(|word| word.contains("::"));
            named.extend(paths.filter_map(|path| absolute(path, module, &texts)));
            sources.named.insert(module.clone(), named);
        }
        sources
    }

    /// The module that a path leads to, followed to where its name is declared.
    fn declaring(&self, path: &[String]) -> Module {
        let is_module = |length: &usize| self.named.contains_key(&path[..*length]);
        let length = (0..=path.len()).rev().find(is_module).unwrap();
        let name = path
            .get(..=length)
            .and_then(|name| self.handed_on.get(name));
        match name {
            Some(from) => self.declaring(from),
            None => path[..length].to_vec(),
        }
    }

    /// Every room with the rooms that it uses.
    fn rooms(&self) -> BTreeMap<String, BTreeSet<String>> {
        let mut rooms: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for (module, named) in &self.named {
            let Some(room) = module.first() else {
                rooms.entry("lib".into()).or_default();
                continue;
            };
            let others = named.iter().filter_map(|path| path.first());
            let others = others.filter(|other| *other != room).cloned();
            rooms.entry(room.clone()).or_default().extend(others);
        }
        rooms
    }

    /// Every file and folder of a room with those beside it in the same folder that it needs, a
    /// folder for all that is in it. A folder's own file and what is below it may need each other.
    fn neighbours(&self) -> BTreeMap<Module, BTreeSet<Module>> {
        let mut neighbours: BTreeMap<Module, BTreeSet<Module>> = BTreeMap::new();
        for (module, named) in &self.named {
            neighbours.entry(module.clone()).or_default();
            for other in named.iter().map(|path| self.declaring(path)) {
                let pairs = module.iter().zip(&other);
                let common = pairs.take_while(|(one, other)| one == other).count();
                if common > 0 && common < module.len().min(other.len()) {
                    let needed = other[..=common].to_vec();
                    let entry = neighbours.entry(module[..=common].to_vec());
                    entry.or_default().insert(needed);
                }
            }
        }
        neighbours
    }
}

/// The text of every file of a folder that is no test, without comments and inner tests.
fn gather(folder: &Path, module: &[String], texts: &mut BTreeMap<Module, String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let below = match name.as_str() {
            "tests" => continue,
            "mod" | "lib" => module.to_vec(),
            _ => [module, &[name]].concat(),
        };
        if path.is_dir() {
            gather(&path, &below, texts);
        } else {
            texts.insert(below, program(&fs::read_to_string(&path).unwrap()));
        }
    }
}

/// A text without its comments and without what is compiled for tests alone.
fn program(text: &str) -> String {
    let mut kept = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let code = line.trim_start();
        if code == "#[cfg(test)]" {
            let indent = &line[..line.len() - code.len()];
            let end = |line: &&str| {
                let here = line.strip_prefix(indent).unwrap_or(" ");
                !here.starts_with([' ', '#']) && here.ends_with(['}', ';'])
            };
            lines.find(end);
        } else if !code.starts_with("//") {
            kept.push_str(line.split(" // ").next().unwrap());
            kept.push('\n');
        }
    }
    kept
}

/// What a `use` brings in.
struct Used {
    /// Without its keyword and semicolon: `crate::units::{Angle, Length}`.
    tree: String,
    /// Whether others may take it from here.
    handed_on: bool,
}

/// The `use` items of a program's text, and the text without them.
fn uses_and_rest(text: &str) -> (Vec<Used>, String) {
    let (mut uses, mut rest) = (Vec::new(), String::new());
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let item = line.trim_start();
        let Some((before, tree)) = item.split_once("use ").filter(|(before, _)| {
            before.is_empty() || before.starts_with("pub") && before.ends_with(' ')
        }) else {
            rest.push_str(line);
            rest.push('\n');
            continue;
        };
        let mut tree = tree.to_owned();
        while !tree.ends_with(';') {
            tree.push_str(lines.next().unwrap().trim_start());
        }
        tree.pop();
        uses.push(Used {
            tree,
            handed_on: !before.is_empty(),
        });
    }
    (uses, rest)
}

/// Each path of a tree of uses, with the name that it goes by.
fn leaves(tree: &str) -> Vec<(String, String)> {
    let tree = tree.trim();
    if let Some((before, inside)) = tree.split_once('{') {
        let inside = inside.strip_suffix('}').unwrap();
        let (mut depth, mut start, mut found) = (0, 0, Vec::new());
        for (at, letter) in inside.char_indices().chain([(inside.len(), ',')]) {
            match letter {
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 0 => {
                    let branch = inside[start..at].trim();
                    if !branch.is_empty() {
                        found.extend(leaves(&format!("{before}{branch}")));
                    }
                    start = at + 1;
                }
                _ => {}
            }
        }
        return found;
    }
    let (path, alias) = tree.split_once(" as ").unwrap_or((tree, ""));
    let path = path.trim_end_matches("::self");
    let last = path.rsplit("::").next().unwrap();
    let alias = if alias.is_empty() { last } else { alias };
    vec![(path.to_owned(), alias.to_owned())]
}

/// A path from the crate's root, as a module says it; none if it leads out of the crate.
fn absolute(path: &str, module: &[String], texts: &BTreeMap<Module, String>) -> Option<Module> {
    let parts: Vec<String> = path.split("::").map(str::to_owned).collect();
    let first = parts.first()?.as_str();
    let (start, rest) = match first {
        // The program's own file sees the library as a stranger does.
        "crate" | "netlead" => (&module[..0], &parts[1..]),
        "self" => (module, &parts[1..]),
        "super" => {
            let up = parts.iter().take_while(|part| *part == "super").count();
            (&module[..module.len().checked_sub(up)?], &parts[up..])
        }
        _ => {
            let child = [module, &parts[..1]].concat();
            (module, texts.contains_key(&child).then_some(&parts[..])?)
        }
    };
    Some([start, rest].concat())
}

/// The rows of the table of rooms, in order: a room and the rooms that it may use.
fn map() -> Vec<(String, BTreeSet<String>)> {
    let text = fs::read_to_string(project("DEVELOPERS.md")).unwrap();
    let section = text.split("\n## Rooms\n").nth(1).unwrap();
    let section = section.split("\n## ").next().unwrap();
    let rows = section.lines().filter(|line| line.starts_with("| "));
    let mut rows = rows.map(|row| row.trim_matches('|').split('|').map(str::trim));
    let column = rows.next().unwrap().position(|head| head == "may use");
    let column = column.expect("the map says what each room may use");
    rows.map(|row| {
        let cells: Vec<&str> = row.collect();
        let may_use = cells[column].split(", ").filter(|name| !name.is_empty());
        let may_use = may_use.map(|name| name.replace('`', ""));
        (cells[0].replace('`', ""), may_use.collect())
    })
    .collect()
}

#[test]
fn every_room_uses_the_rooms_that_the_map_gives_it() {
    let rooms = Sources::read().rooms();
    let map: BTreeMap<String, BTreeSet<String>> = map().into_iter().collect();
    for (room, used) in &rooms {
        let may_use = map.get(room);
        let may_use = may_use.unwrap_or_else(|| panic!("the map has no room `{room}`"));
        let unlisted: Vec<_> = used.difference(may_use).collect();
        assert!(unlisted.is_empty(), "`{room}` uses {unlisted:?} too");
        let unused: Vec<_> = may_use.difference(used).collect();
        assert!(unused.is_empty(), "`{room}` does not use {unused:?}");
    }
}

#[test]
fn no_room_uses_one_that_stands_below_it_in_the_map() {
    let rooms = Sources::read().rooms();
    let mut above = BTreeSet::new();
    for (room, _) in map() {
        let used = rooms
            .get(&room)
            .unwrap_or_else(|| panic!("no room `{room}`"));
        let below: Vec<_> = used.difference(&above).collect();
        assert!(below.is_empty(), "`{room}` uses {below:?}, further down");
        above.insert(room);
    }
}

/// What a file or folder needs, and what that needs, each with the one that needs it.
fn reached<'a>(
    from: &'a Module,
    neighbours: &'a BTreeMap<Module, BTreeSet<Module>>,
) -> BTreeMap<&'a Module, &'a Module> {
    let mut needed_by = BTreeMap::new();
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        for needed in &neighbours[at] {
            if needed_by.insert(needed, at).is_none() {
                open.push(needed);
            }
        }
    }
    needed_by
}

#[test]
fn no_files_of_a_room_need_each_other() {
    let neighbours = Sources::read().neighbours();
    for file in neighbours.keys() {
        let needed_by = reached(file, &neighbours);
        if needed_by.contains_key(file) {
            let mut circle = vec![file.join("/")];
            let mut at = needed_by[file];
            while at != file {
                circle.push(at.join("/"));
                at = needed_by[at];
            }
            panic!("a circle, each needed by the next: {}", circle.join(", "));
        }
    }
}

#[test]
fn what_the_paths_of_a_text_lead_to_is_told() {
    let tree = "crate::{kit::{self, key}, units::Length as Size}";
    let paths = ["crate::kit", "crate::kit::key", "crate::units::Length"];
    let names = ["kit", "key", "Size"];
    let expected: Vec<_> = paths.into_iter().zip(names).collect();
    let found = leaves(tree);
    let found: Vec<_> = found
        .iter()
        .map(|(path, name)| (path.as_str(), name.as_str()))
        .collect();
    assert_eq!(found, expected);
    let text = "use a::B; // c\n#[cfg(test)]\nmod tests {\n    use d::E;\n}\nfn f() {}\n";
    assert_eq!(program(text), "use a::B;\nfn f() {}\n");
}

#[test]
fn only_cli_and_the_program_itself_touch_files_and_streams() {
    let mut texts = BTreeMap::new();
    gather(&project("src"), &[], &mut texts);
    let outside = [
        "std::fs",
        "std::env",
        "std::process",
        "io::stdout",
        "println!",
    ];
    for (module, text) in texts {
        let may = module
            .first()
            .is_some_and(|room| room == "cli" || room == "main");
        let touched = outside.iter().find(|path| text.contains(**path));
        assert_eq!(touched.filter(|_| !may), None, "{}", module.join("/"));
    }
}

#[test]
fn cli_has_no_geometry_of_its_own() {
    let mut texts = BTreeMap::new();
    gather(&project("src"), &[], &mut texts);
    let of_cli = texts
        .iter()
        .filter(|(module, _)| module.starts_with(&["cli".into()]));
    for (module, text) in of_cli {
        for word in [
            "nalgebra",
            "manifold",
            "units::Angle",
            "f64::consts",
            ".sqrt()",
        ] {
            assert!(!text.contains(word), "{} has {word}", module.join("/"));
        }
    }
}
