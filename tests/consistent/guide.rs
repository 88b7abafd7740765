//! A guide made at random: a fault with causes, checks and repairs, and a circuit of cylinders on one valve block.

use std::collections::BTreeMap;

use crate::guides::base;

/// How large the guide is, and the choices in it.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub(super) causes: usize,
    pub(super) cylinders: usize,
    shares: Vec<u32>,
    /// Decides in which order the causes stand in answers, and how often checks are asked twice.
    order: u64,
}

const COLOURS: [&str; 10] = ["red", "blue", "green", "yellow", "black", "white", "brown", "orange", "violet", "grey"];

/// The files of the repairs.
const REPAIRS: [&str; 7] = [
    "procedures/mend-0.toml",
    "procedures/mend-1.toml",
    "procedures/mend-2.toml",
    "procedures/mend-3.toml",
    "procedures/mend-4.toml",
    "procedures/mend-5.toml",
    "procedures/mend-6.toml",
];

pub(super) fn repair_file(cause: usize) -> &'static str {
    REPAIRS[cause]
}

impl Shape {
    pub(super) fn new(causes: usize, cylinders: usize, shares: &[u32], order: u64) -> Self {
        Self { causes: causes + 1, cylinders, shares: shares.to_vec(), order }
    }

    pub(super) fn share(&self, cause: usize) -> u32 {
        self.shares[cause]
    }

    pub(super) fn colour(&self, hose: usize) -> &'static str {
        let turn = usize::try_from(self.order % 10).unwrap();
        COLOURS[(hose + turn) % COLOURS.len()]
    }

    /// The small guide with the generated entries in it.
    pub(super) fn files(&self) -> BTreeMap<String, Vec<u8>> {
        let mut files = base();
        let mut put = |path: &str, text: String| files.insert(path.to_owned(), text.into_bytes());
        put("faults/generated.toml", self.fault());
        put("hoses/generated.toml", self.circuit());
        put("parts/generated.toml", self.parts());
        for cause in 0..self.causes {
            put(repair_file(cause), repair(cause));
        }
        files
    }

    fn fault(&self) -> String {
        let mut text =
            "[fault]\nid = \"generated\"\nsymptom = \"The arms stop\"\ncautions = [\"falling-table\"]\n\n".to_owned();
        text.push_str("[verify]\nsays = \"Listen.\"\n");
        for cause in 0..self.causes {
            let share = self.share(cause);
            text.push_str(&format!(
                "\n[[cause]]\nid = \"cause-{cause}\"\nsays = \"Reason {cause}\"\nshare = {share}\nrepair = \"mend-{cause}\"\n"
            ));
        }
        for cause in 0..self.causes {
            text.push_str(&self.check(cause));
        }
        text
    }

    /// One check for each cause; the causes stand in a turned order in the answer that leaves the others.
    fn check(&self, cause: usize) -> String {
        let turn = usize::try_from(self.order >> 8 & 0xff).unwrap();
        let order = (0..self.causes).map(|at| (at + turn) % self.causes);
        let others: Vec<String> =
            order.filter(|other| *other != cause).map(|other| format!("\"cause-{other}\"")).collect();
        let minutes = 1 + (self.order >> (cause + 16)) % 9;
        format!(
            "\n[[check]]\nid = \"look-{cause}\"\nask = \"Is it reason {cause}?\"\nminutes = {minutes}\n\
             [[check.answer]]\nsays = \"Yes\"\nleaves = [\"cause-{cause}\"]\n\
             [[check.answer]]\nsays = \"No\"\nleaves = [{}]\n",
            others.join(", ")
        )
    }

    fn parts(&self) -> String {
        let mut text = part("block", "Arm block", "valve-block");
        for cylinder in 0..self.cylinders {
            text.push_str(&part(&format!("arm-{cylinder}"), &format!("Arm cylinder {cylinder}"), "cylinder"));
        }
        text
    }

    fn circuit(&self) -> String {
        let mut text = "[circuit]\nid = \"arms\"\nname = \"Arm circuit\"\n".to_owned();
        for cylinder in 0..self.cylinders {
            text.push_str(&format!(
                "\n[[actuator]]\nid = \"arm-{cylinder}\"\npart = \"arm-{cylinder}\"\nname = \"Arm {cylinder}\"\n\
                 cap = \"cylinder-{cylinder}-c\"\nrod = \"cylinder-{cylinder}-r\"\n"
            ));
        }
        for cylinder in 0..self.cylinders {
            for (letter, side) in [("c", "cap"), ("r", "rod")] {
                let mark = format!("{}{cylinder}", letter.to_uppercase());
                text.push_str(&port(&format!("block-{cylinder}-{letter}"), "block", &mark, side, &mark));
                text.push_str(&port(
                    &format!("cylinder-{cylinder}-{letter}"),
                    &format!("arm-{cylinder}"),
                    letter,
                    side,
                    &mark,
                ));
            }
            for (at, (letter, other)) in [("c", "r"), ("r", "c")].into_iter().enumerate() {
                let colour = self.colour(2 * cylinder + at);
                text.push_str(&format!(
                    "\n[[hose]]\nid = \"line-{cylinder}-{letter}\"\nmark = \"{}{cylinder}\"\ncolour = \"{colour}\"\n\
                     fitting = \"M10x1\"\nfrom = \"block-{cylinder}-{letter}\"\nto = \"cylinder-{cylinder}-{letter}\"\n\
                     pair = \"line-{cylinder}-{other}\"\npart = \"hose-kit\"\nsource = \"manual, line {cylinder}\"\n",
                    letter.to_uppercase()
                ));
            }
        }
        text
    }
}

fn part(id: &str, name: &str, kind: &str) -> String {
    format!("[[part]]\nid = \"{id}\"\nname = \"{name}\"\nkind = \"{kind}\"\nlocation = \"On the arm\"\n\n")
}

fn port(id: &str, part: &str, mark: &str, side: &str, takes: &str) -> String {
    format!(
        "\n[[port]]\nid = \"{id}\"\npart = \"{part}\"\nmark = \"{mark}\"\ntakes = [\"{takes}\"]\n\
         fitting = \"M10x1\"\nside = \"{side}\"\n"
    )
}

fn repair(cause: usize) -> String {
    format!(
        "[procedure]\nid = \"mend-{cause}\"\ntitle = \"Mend reason {cause}\"\nkind = \"repair\"\nminutes = 20\n\
         state = \"table-down\"\nmake_safe = [\"release-pressure\"]\ncautions = [\"oil-pressure\", \"falling-table\"]\n\
         opens = [\"hose-kit\"]\ndisturbs = [\"hose-kit\"]\nrelease = \"The technician signs.\"\n\n\
         [recalibration]\nneed = \"none\"\nbecause = \"No sensor is touched.\"\nsource = \"manual, 5\"\n\n\
         [[step]]\ndo = \"Change the hose.\"\n\n[[check_again]]\nreading = \"oil-level\"\n\n\
         [function_test]\nprocedure = \"test-table\"\n"
    )
}
