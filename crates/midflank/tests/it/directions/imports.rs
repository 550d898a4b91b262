//! Which module of a crate refers to which, read from its sources.
//!
//! The files are read as tokens, so that the paths inside `html!` and `messages!` are found like all others. Names that a
//! module passes on (`pub use`) are followed to where they are defined. What stands under `#[cfg(test)]` does not count.

use std::collections::BTreeMap;
use std::fs;
use std::iter::Peekable;
use std::path::{Path, PathBuf};

use proc_macro2::token_stream::IntoIter;
use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};

/// A crate as a tree of modules; the first is `lib.rs`.
#[derive(Default)]
pub struct Sources {
    modules: Vec<Module>,
}

#[derive(Default)]
struct Module {
    file: PathBuf,
    /// The modules above it, from the root down, and itself at the end.
    line_of_descent: Vec<usize>,
    name: String,
    children: BTreeMap<String, usize>,
    /// What `use` brings in, by the name it has here.
    names: BTreeMap<String, Vec<String>>,
    references: Vec<Reference>,
}

struct Reference {
    path: Vec<String>,
    line: usize,
}

/// One module of a folder refers to another of the same folder.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Import {
    /// Such as `crate::inspection`.
    pub folder: String,
    pub from: String,
    pub to: String,
    pub file: PathBuf,
    pub line: usize,
}

impl Sources {
    /// Reads the crate whose sources are in this folder.
    pub fn read(folder: &Path) -> Self {
        let mut sources = Self::default();
        sources.modules.push(Module {
            file: folder.join("lib.rs"),
            line_of_descent: vec![0],
            name: "crate".into(),
            ..Module::default()
        });
        sources.read_file(0, folder);
        sources
    }

    /// Every import between two modules of one folder, seen from the folder that holds both.
    pub fn imports(&self) -> Vec<Import> {
        let mut imports = Vec::new();
        for (index, module) in self.modules.iter().enumerate() {
            for reference in &module.references {
                let mut met = Vec::new();
                self.follow(index, &reference.path, &mut met);
                imports.extend(
                    met.into_iter()
                        .filter_map(|to| self.import(index, to, reference)),
                );
            }
        }
        imports.sort();
        imports
    }

    fn import(&self, from: usize, to: usize, reference: &Reference) -> Option<Import> {
        let (here, there) = (&self.modules[from], &self.modules[to]);
        let (ours, theirs) = (&here.line_of_descent, &there.line_of_descent);
        let parting = ours.iter().zip(theirs).position(|(a, b)| a != b)?;
        let name = |index: usize| self.modules[index].name.clone();
        Some(Import {
            folder: ours[..parting]
                .iter()
                .map(|&index| name(index))
                .collect::<Vec<_>>()
                .join("::"),
            from: name(ours[parting]),
            to: name(theirs[parting]),
            file: here.file.clone(),
            line: reference.line,
        })
    }

    /// Notes in `met` every module that a path leads through, the one where its name is defined at the end.
    fn follow(&self, from: usize, path: &[String], met: &mut Vec<usize>) -> Option<usize> {
        let mut module = from;
        for (place, name) in path.iter().enumerate() {
            let here = &self.modules[module];
            let next = match name.as_str() {
                "crate" => 0,
                "self" => module,
                "super" => *here.line_of_descent.iter().rev().nth(1)?,
                _ => match (here.children.get(name), here.names.get(name)) {
                    (Some(&child), _) => child,
                    // A name of the outside, or one that stands for itself: `use serde::Serialize`.
                    (None, Some(target)) if target.first() == Some(name) && place == 0 => {
                        return None;
                    }
                    (None, Some(target)) => self.follow(module, target, met)?,
                    (None, None) => return None,
                },
            };
            module = next;
            met.push(module);
        }
        Some(module)
    }

    fn read_file(&mut self, index: usize, folder: &Path) {
        let file = self.modules[index].file.clone();
        let text = fs::read_to_string(&file).unwrap();
        let tokens: TokenStream = text
            .parse()
            .unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        self.read_tokens(index, folder, tokens);
    }

    fn read_tokens(&mut self, index: usize, folder: &Path, tokens: TokenStream) {
        let mut tokens = tokens.into_iter().peekable();
        let mut before = String::new();
        while let Some(token) = tokens.next() {
            let text = match &token {
                TokenTree::Group(group) if before == "#" && is_test(group) => {
                    pass_item(&mut tokens);
                    String::new()
                }
                TokenTree::Group(group) => {
                    self.read_tokens(index, folder, group.stream());
                    String::new()
                }
                TokenTree::Ident(word) if word == "mod" => {
                    self.read_module(index, folder, &mut tokens);
                    String::new()
                }
                TokenTree::Ident(word) if word == "macro_rules" => {
                    self.name_macro(index, tokens.nth(1));
                    String::new()
                }
                TokenTree::Ident(word) if word == "use" => {
                    let line = word.span().start().line;
                    let tree = tokens.by_ref().take_while(|token| token.to_string() != ";");
                    self.read_use(index, line, &[], tree.collect());
                    String::new()
                }
                TokenTree::Ident(word) if before != "." => {
                    let line = word.span().start().line;
                    let path = path(word.to_string(), &mut tokens);
                    if path.len() > 1 {
                        self.modules[index]
                            .references
                            .push(Reference { path, line });
                    }
                    String::new()
                }
                _ => token.to_string(),
            };
            before = text;
        }
    }

    /// An exported macro is called by its name in the root.
    fn name_macro(&mut self, index: usize, name: Option<TokenTree>) {
        let descent = self.modules[index].line_of_descent.iter();
        let path = descent.map(|&module| self.modules[module].name.clone());
        let path: Vec<String> = path.collect();
        let name = name.map(|name| name.to_string());
        self.modules[0].names.extend(name.map(|name| (name, path)));
    }

    /// `mod name;` or `mod name { … }`.
    fn read_module(&mut self, parent: usize, folder: &Path, tokens: &mut Peekable<IntoIter>) {
        let (Some(TokenTree::Ident(name)), Some(next)) = (tokens.next(), tokens.next()) else {
            return;
        };
        let name = name.to_string();
        let inside = folder.join(&name);
        let index = self.modules.len();
        let mut module = Module {
            name: name.clone(),
            line_of_descent: [&self.modules[parent].line_of_descent[..], &[index]].concat(),
            ..Module::default()
        };
        self.modules[parent].children.insert(name.clone(), index);
        if let TokenTree::Group(body) = next {
            module.file = self.modules[parent].file.clone();
            self.modules.push(module);
            self.read_tokens(index, &inside, body.stream());
        } else {
            let file = folder.join(format!("{name}.rs"));
            module.file = if file.exists() {
                file
            } else {
                inside.join("mod.rs")
            };
            self.modules.push(module);
            self.read_file(index, &inside);
        }
    }

    /// `a::{b, c as d, e::*}`: each leaf is a reference, and gives its name to the module.
    fn read_use(&mut self, index: usize, line: usize, before: &[String], tree: Vec<TokenTree>) {
        let mut path = before.to_vec();
        let mut renamed = None;
        let mut tokens = tree.into_iter().peekable();
        while let Some(token) = tokens.next() {
            match token {
                TokenTree::Ident(word) if word == "as" => renamed = tokens.next(),
                TokenTree::Ident(word) => path.push(word.to_string()),
                TokenTree::Group(group) => {
                    let leaves: Vec<TokenTree> = group.stream().into_iter().collect();
                    for leaf in leaves.split(|token| token.to_string() == ",") {
                        if let Some(first) = leaf.first() {
                            let line = first.span().start().line;
                            self.read_use(index, line, &path, leaf.to_vec());
                        }
                    }
                    return;
                }
                _ => (),
            }
        }
        if path.len() > 1 && path.last().is_some_and(|name| name == "self") {
            path.pop();
        }
        let module = &mut self.modules[index];
        if let Some(name) = renamed
            .map(|name| name.to_string())
            .or_else(|| path.last().cloned())
        {
            module.names.insert(name, path.clone());
        }
        module.references.push(Reference { path, line });
    }
}

/// The rest of a path such as `crate::inspection::Job`.
fn path(first: String, tokens: &mut Peekable<IntoIter>) -> Vec<String> {
    let mut path = vec![first];
    while is_colon(tokens.peek()) {
        let mut ahead = tokens.clone();
        ahead.next();
        if !is_colon(ahead.next().as_ref()) {
            break;
        }
        let Some(TokenTree::Ident(name)) = ahead.next() else {
            break;
        };
        path.push(name.to_string());
        *tokens = ahead;
    }
    path
}

fn is_colon(token: Option<&TokenTree>) -> bool {
    matches!(token, Some(TokenTree::Punct(mark)) if mark.as_char() == ':')
}

/// `[cfg(test)]`, also `[cfg(any(test, fuzzing))]`.
fn is_test(attribute: &Group) -> bool {
    let text = attribute.stream().to_string();
    let mut words = text.split(|letter: char| !letter.is_alphanumeric());
    attribute.delimiter() == Delimiter::Bracket
        && words.next() == Some("cfg")
        && words.any(|word| word == "test")
}

/// Passes over what an attribute stands before: up to its body or its semicolon.
fn pass_item(tokens: &mut Peekable<IntoIter>) {
    for token in tokens.by_ref() {
        match token {
            TokenTree::Group(body) if body.delimiter() == Delimiter::Brace => return,
            TokenTree::Punct(mark) if mark.as_char() == ';' => return,
            _ => (),
        }
    }
}
