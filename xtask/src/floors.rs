//! Imports only go down: between crates by their manifests, and between the modules
//! of the job crate by the paths that its files name.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use syn::visit::Visit;

use crate::run::root;

/// Crates from the lowest floor up; crates of one floor do not see each other.
const FLOORS: &[&[&str]] = &[
    &["tooth-measure"],
    &["tooth-record", "tooth-sounding", "tooth-texture"],
    &["tooth-job"],
    // The words stand lowest on the fourth floor: documents speak through them.
    &["tooth-words"],
    &["tooth-formats", "tooth-documents", "tooth-storage"],
    &["tooth"],
];

/// Modules of the job crate in the order of the stream: each sees those before it.
const JOB: &[&str] = &[
    "survey",
    "methods",
    "extent",
    "assessment",
    "ambient",
    "plan",
    "quantities",
    "estimate",
    "worth",
    "stream",
    "quick",
    "cautions",
    "acceptance",
];

/// Files that the lower floors may not name: no file, clock, network or thread there.
const PURE: &[&str] = &["measure", "record", "sounding", "texture", "job"];
const OUTSIDE: &[&str] = &["fs", "net", "process", "env", "thread", "time"];

pub(crate) fn check() -> Result<String, String> {
    let mut wrong = manifests()?;
    let mut seen = 0;
    for file in sources(&root().join("crates/job/src")) {
        let line = file.display().to_string();
        let own = module_path(&file);
        // The crate's root stands below all.
        let module = own.first().map_or(JOB[0], String::as_str);
        for named in paths(&file)? {
            seen += 1;
            if let Some(reason) = upward(module, &from_the_root(&own, named)) {
                wrong.push(format!("{line}: {reason}"));
            }
        }
    }
    for name in PURE {
        for file in sources(&root().join("crates").join(name).join("src")) {
            for path in paths(&file)? {
                if let [first, second, ..] = path.as_slice()
                    && first == "std"
                    && OUTSIDE.contains(&second.as_str())
                {
                    wrong.push(format!("{}: std::{second} on a pure floor", file.display()));
                }
            }
        }
    }
    if wrong.is_empty() {
        Ok(format!(
            "floors: {} crates and {} modules of the job, {seen} paths, all downward",
            FLOORS.iter().map(|f| f.len()).sum::<usize>(),
            JOB.len()
        ))
    } else {
        Err(format!("imports that go up:\n{}", wrong.join("\n")))
    }
}

fn manifests() -> Result<Vec<String>, String> {
    let floor_of: BTreeMap<&str, usize> = FLOORS
        .iter()
        .enumerate()
        .flat_map(|(floor, names)| names.iter().map(move |name| (*name, floor)))
        .collect();
    let mut wrong = Vec::new();
    for entry in fs::read_dir(root().join("crates")).map_err(|error| error.to_string())? {
        let folder = entry.map_err(|error| error.to_string())?.path();
        let text = fs::read_to_string(folder.join("Cargo.toml"))
            .map_err(|error| format!("{}: {error}", folder.display()))?;
        let manifest: toml::Table =
            text.parse().map_err(|error| format!("{}: {error}", folder.display()))?;
        let name = manifest
            .get("package")
            .and_then(|p| p.get("name"))
            .and_then(|n| n.as_str())
            .unwrap_or_default();
        let Some(own) = floor_of.get(name) else {
            wrong.push(format!("{name} stands on no floor: add it to xtask/src/floors.rs"));
            continue;
        };
        for section in ["dependencies", "dev-dependencies", "build-dependencies"] {
            let Some(table) = manifest.get(section).and_then(|t| t.as_table()) else {
                continue;
            };
            for dependency in table.keys() {
                if let Some(floor) = floor_of.get(dependency.as_str())
                    && floor >= own
                    // Tests read what people read.
                    && !(section == "dev-dependencies" && dependency == "tooth-words")
                {
                    wrong.push(format!("{name} imports {dependency}, which stands no lower"));
                }
            }
        }
    }
    Ok(wrong)
}

/// Why a path goes up from a module, if it does.
fn upward(module: &str, path: &[String]) -> Option<String> {
    let [first, second, ..] = path else {
        return None;
    };
    if first != "crate" {
        return None;
    }
    let place = |name: &str| JOB.iter().position(|known| *known == name);
    let Some(own) = place(module) else {
        return Some(format!("module `{module}` has no place: add it to xtask/src/floors.rs"));
    };
    let other = place(second)?;
    (other > own).then(|| format!("`{module}` imports `{second}`, which comes later in the stream"))
}

/// The modules that a file of the job crate stands in, its own last.
fn module_path(file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(root().join("crates/job/src")).unwrap_or(file);
    let names = inside.with_extension("");
    let names = names.components().map(|c| c.as_os_str().to_string_lossy().into_owned());
    names.filter(|name| name != "mod" && name != "lib").collect()
}

/// A path that starts with `super` or `self`, told from the crate's root.
fn from_the_root(own: &[String], path: Vec<String>) -> Vec<String> {
    let ups = path.iter().take_while(|segment| *segment == "super").count();
    let here = usize::from(path.first().is_some_and(|first| first == "self"));
    if ups + here == 0 {
        return path;
    }
    let stays = own.iter().take(own.len().saturating_sub(ups)).cloned();
    let rest = path.iter().skip(ups + here).cloned();
    std::iter::once("crate".to_owned()).chain(stays).chain(rest).collect()
}

/// All Rust files below a folder, sorted.
pub(crate) fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(folder) = open.pop() {
        let Ok(entries) = fs::read_dir(&folder) else {
            continue;
        };
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

pub(crate) fn parsed(file: &Path) -> Result<syn::File, String> {
    let text = fs::read_to_string(file).map_err(|error| format!("{}: {error}", file.display()))?;
    syn::parse_file(&text).map_err(|error| format!("{}: {error}", file.display()))
}

/// Every path that a file names, in `use` and in code.
fn paths(file: &Path) -> Result<Vec<Vec<String>>, String> {
    let mut named = Named::default();
    named.visit_file(&parsed(file)?);
    Ok(named.0)
}

#[derive(Default)]
struct Named(Vec<Vec<String>>);

impl Named {
    fn tree(&mut self, before: &[String], tree: &syn::UseTree) {
        match tree {
            syn::UseTree::Path(path) => {
                let mut longer = before.to_vec();
                longer.push(path.ident.to_string());
                self.tree(&longer, &path.tree);
            }
            syn::UseTree::Name(name) => self.leaf(before, name.ident.to_string()),
            syn::UseTree::Rename(rename) => self.leaf(before, rename.ident.to_string()),
            syn::UseTree::Glob(_) => self.leaf(before, "*".to_owned()),
            syn::UseTree::Group(group) => {
                group.items.iter().for_each(|item| self.tree(before, item))
            }
        }
    }

    fn leaf(&mut self, before: &[String], last: String) {
        let mut path = before.to_vec();
        path.push(last);
        self.0.push(path);
    }
}

impl<'a> Visit<'a> for Named {
    fn visit_item_use(&mut self, item: &'a syn::ItemUse) {
        self.tree(&[], &item.tree);
    }

    fn visit_path(&mut self, path: &'a syn::Path) {
        self.0.push(path.segments.iter().map(|segment| segment.ident.to_string()).collect());
        syn::visit::visit_path(self, path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> Vec<String> {
        text.split("::").map(str::to_owned).collect()
    }

    #[test]
    fn a_module_may_look_down_but_not_up() {
        assert_eq!(upward("plan", &path("crate::survey::Zone")), None);
        assert!(upward("survey", &path("crate::plan::Step")).is_some());
        assert!(upward("methods", &path("crate::estimate::Estimate")).is_some());
    }

    #[test]
    fn a_way_up_by_super_is_no_way_round() {
        let rules = path("assessment::rules");
        let named = from_the_root(&rules, path("super::super::plan::Step"));
        assert_eq!(named, path("crate::plan::Step"));
        assert!(upward("assessment", &named).is_some());
        assert_eq!(
            from_the_root(&rules, path("super::look::Look")),
            path("crate::assessment::look::Look")
        );
        assert_eq!(from_the_root(&rules, path("std::fmt")), path("std::fmt"));
    }

    #[test]
    fn a_module_without_a_place_is_named() {
        assert!(
            upward("gadgets", &path("crate::survey::Zone"))
                .is_some_and(|said| said.contains("gadgets"))
        );
    }
}
