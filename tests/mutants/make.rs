//! The mutants: each one change of one file (a swap: two values of one or two files).

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use regex::Regex;

use super::text::{Block, Node, Pair, blocks};

/// One change.
#[derive(Debug, Clone)]
pub(super) struct Edit {
    pub(super) file: String,
    pub(super) at: Range<usize>,
    pub(super) put: String,
}

/// One mutant.
#[derive(Debug, Clone)]
pub(super) struct Mutant {
    /// What is done, such as `drop-source`.
    pub(super) sort: &'static str,
    /// File, entry, table and change in words.
    pub(super) name: String,
    pub(super) edits: Vec<Edit>,
    /// The table that is changed, as it was.
    pub(super) block: Range<usize>,
    /// Ids that a fitting finding may name.
    pub(super) near: BTreeSet<String>,
}

/// The texts of a guide.
pub(super) type Texts = BTreeMap<String, String>;

/// Every file of the demo, cut into tables.
pub(super) struct Demo<'t> {
    pub(super) texts: &'t Texts,
    pub(super) blocks: Vec<Block>,
    pub(super) ids: BTreeSet<String>,
}

impl<'t> Demo<'t> {
    pub(super) fn of(texts: &'t Texts) -> Self {
        let toml = texts.iter().filter(|(path, _)| path.ends_with(".toml"));
        let blocks: Vec<Block> = toml.flat_map(|(path, text)| blocks(path, text)).collect();
        let ids = blocks.iter().filter_map(|block| block.text("id")).map(str::to_owned);
        let notes = texts.keys().filter_map(|path| path.strip_prefix("notes/")?.strip_suffix(".md"));
        let ids = ids.chain(notes.map(str::to_owned)).collect();
        Self { texts, blocks, ids }
    }

    /// All mutants, in the order of the files.
    pub(super) fn mutants(&self) -> Vec<Mutant> {
        let mut mutants = Vec::new();
        for (index, block) in self.blocks.iter().enumerate() {
            let here = Here { demo: self, index, block };
            here.drop_tables(&mut mutants);
            here.drop_keys(&mut mutants);
            here.rename_ids(&mut mutants);
            here.change_tags(&mut mutants);
            if block.name == "hose" {
                here.change_hose(&mut mutants);
            }
        }
        self.swap_ends(&mut mutants);
        self.rename_in_notes(&mut mutants);
        mutants
    }

    /// The ids of the procedures that name a part.
    fn entries_with(&self, part: &str) -> impl Iterator<Item = String> {
        let names = |block: &&Block| block.pairs.iter().any(|pair| texts_of(pair).iter().any(|text| text == part));
        let files: BTreeSet<&str> = self.blocks.iter().filter(names).map(|block| block.file.as_str()).collect();
        let heads = self.blocks.iter().filter(|block| block.name == "procedure");
        let heads = heads.filter(|block| files.contains(block.file.as_str()));
        heads.filter_map(|block| block.text("id")).map(str::to_owned).collect::<Vec<_>>().into_iter()
    }

    fn swap_ends(&self, mutants: &mut Vec<Mutant>) {
        let hoses = self.blocks.iter().filter(|block| block.name == "hose");
        let ends: Vec<(&Block, &Pair)> =
            hoses.flat_map(|hose| ["from", "to"].map(|key| (hose, hose.pair(key).unwrap()))).collect();
        for (first, (hose, end)) in ends.iter().enumerate() {
            for (other, otherwise) in &ends[first + 1..] {
                let texts = [end, otherwise].map(|pair| pair.value.text().unwrap());
                if texts[0] == texts[1] {
                    continue;
                }
                let ids = [hose, other].map(|hose| hose.text("id").unwrap());
                let name = format!(
                    "{} hose {}: swap {} with {} of {} hose {}",
                    hose.file, ids[0], end.key, otherwise.key, other.file, ids[1]
                );
                let edit = |block: &Block, pair: &Pair, put: &str| Edit {
                    file: block.file.clone(),
                    at: pair.value.at.clone(),
                    put: format!("\"{put}\""),
                };
                mutants.push(Mutant {
                    sort: if ids[0] == ids[1] { "turn-hose" } else { "swap-ends" },
                    name,
                    edits: vec![edit(hose, end, texts[1]), edit(other, otherwise, texts[0])],
                    block: hose.own.clone(),
                    near: ids.into_iter().chain(texts).map(str::to_owned).collect(),
                });
            }
        }
    }

    fn rename_in_notes(&self, mutants: &mut Vec<Mutant>) {
        let link = Regex::new(r"\]\([a-z]+:([a-z0-9/-]+)\)").unwrap();
        for (path, text) in self.texts.iter().filter(|(path, _)| path.ends_with(".md")) {
            for found in link.captures_iter(text) {
                let id = found.get(1).unwrap();
                mutants.push(Mutant {
                    sort: "rename-in-text",
                    name: format!("{path}: rename {} in a link at byte {}", id.as_str(), id.start()),
                    edits: vec![Edit { file: path.clone(), at: id.end()..id.end(), put: "-x".into() }],
                    block: 0..text.len(),
                    near: BTreeSet::from([id.as_str().to_owned()]),
                });
            }
        }
    }
}

/// One table of one file.
struct Here<'d, 't> {
    demo: &'d Demo<'t>,
    index: usize,
    block: &'d Block,
}

impl Here<'_, '_> {
    /// The ids of the table, and of those it stands under.
    fn owners(&self) -> Vec<&str> {
        let mut wanted = vec![self.block.name.as_str()];
        let mut owners: Vec<&str> = self.block.text("id").into_iter().collect();
        let before = self.demo.blocks[..self.index].iter().rev().take_while(|it| it.file == self.block.file);
        for block in before {
            let above = wanted.iter().any(|name| name.starts_with(&format!("{}.", block.name)));
            let first = matches!(block.name.as_str(), "fault" | "procedure" | "circuit" | "path" | "sequence" | "card");
            if above || first {
                wanted.push(&block.name);
                owners.extend(block.text("id"));
            }
        }
        owners
    }

    fn title(&self) -> String {
        let mut owners = self.owners();
        owners.reverse();
        format!("{} {} [{}]", self.block.file, owners.join("/"), self.block.name)
    }

    fn mutant(&self, sort: &'static str, what: String, at: Range<usize>, put: impl Into<String>) -> Mutant {
        let edits = vec![Edit { file: self.block.file.clone(), at, put: put.into() }];
        let near = self.owners().into_iter().map(str::to_owned).collect();
        // The records of a tag that differs by variant are one statement of their procedure.
        let block = match self.block.name.as_str() {
            "recalibration" => 0..self.demo.texts[&self.block.file].len(),
            _ => self.block.whole.clone(),
        };
        let mut near: BTreeSet<String> = near;
        if let ("part", Some(id)) = (self.block.name.as_str(), self.block.text("id")) {
            near.extend(self.demo.entries_with(id));
        }
        Mutant { sort, name: format!("{}: {what}", self.title()), edits, block, near }
    }

    fn drop_tables(&self, mutants: &mut Vec<Mutant>) {
        let sort = match self.block.name.as_str() {
            "check" => "drop-check",
            "check.answer" => "drop-answer",
            "recalibration" => "drop-tag",
            name if name.ends_with("cautions") => "drop-caution",
            _ => return,
        };
        let says = self.block.text("says").or(self.block.text("need")).unwrap_or_default();
        let mut mutant = self.mutant(sort, format!("{sort} \"{says}\""), self.block.whole.clone(), "");
        let leaves = self.demo.blocks.iter().filter(|it| it.file == self.block.file);
        let inside = leaves.filter(|it| self.block.whole.contains(&it.own.start));
        let texts = inside.flat_map(|it| it.pairs.iter().flat_map(texts_of));
        mutant.near.extend(texts.filter(|text| self.demo.ids.contains(text)));
        mutants.push(mutant);
    }

    fn drop_keys(&self, mutants: &mut Vec<Mutant>) {
        for pair in all_pairs(self.block) {
            match pair.key.as_str() {
                "source" => mutants.push(self.mutant(
                    "drop-source",
                    format!("drop-source {}", self.shown(pair)),
                    pair.cut.clone(),
                    "",
                )),
                "disturbs" => self.drop_each("drop-disturbs", pair, mutants),
                "leaves" => self.drop_each("drop-leaves", pair, mutants),
                "cautions" => self.drop_each("drop-caution", pair, mutants),
                "make_safe" => self.drop_each("drop-make-safe", pair, mutants),
                "recalibrate_if_disturbed" => {
                    mutants.push(self.mutant("drop-tag", "drop-tag of the part".into(), pair.cut.clone(), ""));
                }
                _ => {}
            }
        }
    }

    fn drop_each(&self, sort: &'static str, pair: &Pair, mutants: &mut Vec<Mutant>) {
        let list = pair.value.list();
        for (node, cut) in list {
            let what = format!("{sort} {}", self.demo.texts[&self.block.file].get(node.at.clone()).unwrap_or_default());
            let cut = if list.len() == 1 { pair.cut.clone() } else { cut.clone() };
            let mut mutant = self.mutant(sort, what, cut, "");
            mutant.near.extend(node.texts("").into_iter().filter_map(|(_, node)| node.text()).map(str::to_owned));
            mutants.push(mutant);
        }
    }

    /// Every id once: where it is declared, and wherever it is named as a value or in a link.
    fn rename_ids(&self, mutants: &mut Vec<Mutant>) {
        let link = Regex::new(r"\]\([a-z]+:([a-z0-9/-]+)\)").unwrap();
        let text = &self.demo.texts[&self.block.file];
        for (key, node) in self.block.pairs.iter().flat_map(|pair| pair.value.texts(&pair.key)) {
            let value = node.text().unwrap_or_default();
            let raw = &text[node.at.clone()];
            let id = if key == "source" { value.split(',').next().unwrap_or_default() } else { value };
            if let Some(at) = raw.find(id).filter(|_| self.demo.ids.contains(id) || known_path(self.demo, id)) {
                let end = node.at.start + at + id.len();
                let (sort, what) = match key {
                    "id" => ("rename-declared", format!("rename {id} where it is declared")),
                    "says" | "name" | "mark" | "colour" | "title" | "word" | "also_said" => continue,
                    _ => ("rename-named", format!("rename {id} under {key}")),
                };
                let mut mutant = self.mutant(sort, what, end..end, "-x");
                mutant.near.insert(id.to_owned());
                mutants.push(mutant);
            }
            for found in link.captures_iter(raw) {
                let id = found.get(1).unwrap();
                let end = node.at.start + id.end();
                let what = format!("rename {} in the text of {key}", id.as_str());
                let mut mutant = self.mutant("rename-in-text", what, end..end, "-x");
                mutant.near.insert(id.as_str().to_owned());
                mutants.push(mutant);
            }
        }
        for key in self.block.pairs.iter().flat_map(|pair| pair.value.pairs()) {
            // Signals are named by keys.
            if self.demo.ids.contains(&key.key) {
                let end = key.key_at.end;
                let mut mutant = self.mutant("rename-named", format!("rename the key {}", key.key), end..end, "-x");
                mutant.near.insert(key.key.clone());
                mutants.push(mutant);
            }
        }
    }

    fn change_tags(&self, mutants: &mut Vec<Mutant>) {
        let part = self.block.pairs.iter().filter(|pair| pair.key == "recalibrate_if_disturbed");
        let mut needs: Vec<&Pair> =
            part.flat_map(|pair| pair.value.pairs()).filter(|pair| pair.key == "need").collect();
        if self.block.name == "recalibration" {
            needs.extend(self.block.pair("need"));
        }
        for need in needs {
            let now = need.value.text().unwrap_or_default();
            for other in ["none", "conditional", "required"].into_iter().filter(|other| *other != now) {
                let what = format!("change-tag from {now} to {other}");
                mutants.push(self.mutant("change-tag", what, need.value.at.clone(), format!("\"{other}\"")));
            }
        }
        if self.block.name == "recalibration" {
            for pair in self.block.pairs.iter().filter(|pair| pair.key != "source") {
                let what = format!("drop {} of the tag", pair.key);
                mutants.push(self.mutant("change-tag", what, pair.cut.clone(), ""));
            }
        }
    }

    fn change_hose(&self, mutants: &mut Vec<Mutant>) {
        let hoses: Vec<&Block> = self.demo.blocks.iter().filter(|it| it.name == "hose").collect();
        for pair in &self.block.pairs {
            let drop = format!("drop {} of the hose", pair.key);
            mutants.push(self.mutant("drop-hose-field", drop, pair.cut.clone(), ""));
            let raw = |block: &Block, pair: &Pair| self.demo.texts[&block.file][pair.value.at.clone()].to_owned();
            let now = raw(self.block, pair);
            // The same field of the pair and of the next row that differs, and for words one that is nowhere.
            let after = hoses.iter().skip_while(|it| it.own != self.block.own || it.file != self.block.file);
            let around: Vec<String> = after.chain(&hoses).filter_map(|it| Some(raw(it, it.pair(&pair.key)?))).collect();
            let twin = hoses.iter().find(|it| it.text("id") == self.block.text("pair"));
            let mut others = BTreeSet::from(["\"zz\"".to_owned()]);
            others.extend(twin.and_then(|twin| Some(raw(twin, twin.pair(&pair.key)?))));
            others.extend(around.into_iter().find(|other| *other != now));
            others.remove(&now);
            for other in others {
                let what = format!("change {} of the hose from {now} to {other}", pair.key);
                let mut mutant = self.mutant("change-hose-field", what, pair.value.at.clone(), other.clone());
                mutant.near.insert(other.trim_matches('"').to_owned());
                mutant.near.insert(now.trim_matches('"').to_owned());
                mutants.push(mutant);
            }
        }
    }

    fn shown(&self, pair: &Pair) -> String {
        let text = &self.demo.texts[&self.block.file];
        let line = text[..pair.cut.start].matches('\n').count() + 1;
        format!("{} in line {line}", text[pair.value.at.clone()].trim())
    }
}

/// `path/point` and `fault/cause` name two ids.
fn known_path(demo: &Demo<'_>, text: &str) -> bool {
    text.split_once('/').is_some_and(|(first, second)| demo.ids.contains(first) && demo.ids.contains(second))
}

fn texts_of(pair: &Pair) -> Vec<String> {
    pair.value
        .texts(&pair.key)
        .into_iter()
        .filter_map(|(_, node): (&str, &Node)| node.text())
        .map(str::to_owned)
        .collect()
}

fn all_pairs(block: &Block) -> Vec<&Pair> {
    block.pairs.iter().flat_map(|pair| [vec![pair], pair.value.pairs()].concat()).collect()
}
