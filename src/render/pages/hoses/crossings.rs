//! What crossed hoses do, by what is seen, the most dangerous first; and how to mark hoses so that none can be crossed
//! unseen.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

use super::figures::Figures;
use super::groups::{Group, Pair, merged};
use super::on_machines::{Few, OnMachines};
use super::pairs::{Line, lines};
use super::told::{Shown, apart, crossed_marks, joined};
use super::watched::{Likeness, Watched, worded};
use crate::model::{Actuator, Circuit, Entry, Fault, Id, Kind};
use crate::reason::hydraulics::crossings::{Crossing, Difference, Seen};
use crate::reason::hydraulics::{MachineHydraulics, Operation};
use crate::reason::{End, HoseEnd, Rows};
use crate::render::place::Place;
use crate::render::views::hoses as view;
use crate::render::views::pieces::Link;

/// Where the page of a circuit's crossings stands.
pub(super) fn path(circuit: &Circuit) -> String {
    format!("crossings/{}.html", circuit.id())
}

/// What is known about the crossings of one circuit.
pub(super) struct Crossed<'g> {
    place: Place<'g>,
    circuit: &'g Circuit,
    directions: BTreeMap<Operation, String>,
    machines: OnMachines<'g>,
    rows: Rows<'g>,
    /// The actuators that each hose leads to, on any machine.
    leads: BTreeMap<&'g str, BTreeSet<&'g Id<Actuator>>>,
}

/// More pairs than these in one row are told in lines.
const SPELT_OUT: usize = 16;

/// More rows than these are not told one by one: what is left is told together, kind by kind.
const MOST_ROWS: usize = 80;

/// Rows are told one by one up to about this many bytes, the most dangerous first: a phone must open the page at once.
const MOST_BYTES: usize = 36_000;

/// What is told of some pairs, and the marks of the pairs.
pub(super) struct Row {
    pub(super) row: view::Crossing,
    pub(super) pairs: BTreeSet<[String; 2]>,
}

impl<'g> Crossed<'g> {
    /// On every machine the circuit is for.
    pub(super) fn of(place: Place<'g>, circuit: &'g Circuit) -> Self {
        let all = place.guide.circuits.iter().flat_map(|circuit| Figures::of(place, circuit).directions());
        let (machines, rows) = (OnMachines::of(place, circuit), Rows::of(place.guide));
        let mut leads: BTreeMap<&str, BTreeSet<&Id<Actuator>>> = BTreeMap::new();
        for (hose, served) in place.facts.hoses.machines.iter().flat_map(|machine| &machine.serves) {
            leads.entry(hose.as_str()).or_default().extend(served.nearest().iter().map(|chamber| &chamber.actuator));
        }
        Self { place, circuit, directions: all.collect(), machines, rows, leads }
    }

    fn on(&self, machine: &'g MachineHydraulics) -> impl Iterator<Item = &'g Crossing> {
        let ours = |crossing: &&Crossing| crossing.circuits.iter().any(|circuit| circuit.as_str() == self.circuit.id());
        machine.crossings(self.place.guide).all.iter().filter(ours)
    }

    /// One row for all crossings that look and work alike; those that make no difference come last.
    pub(super) fn rows(&self) -> Vec<Row> {
        let mut groups: Vec<Group<'g>> = Vec::new();
        let mut known: BTreeMap<(Seen, Likeness), usize> = BTreeMap::new();
        for (at, machine) in self.machines.all.iter().enumerate() {
            // Exchanges that join the same ports share what is seen.
            let mut watched: BTreeMap<*const Vec<Difference>, Rc<Watched>> = BTreeMap::new();
            for crossing in self.on(machine) {
                let watched = watched.entry(Arc::as_ptr(&crossing.differences));
                let watched = Rc::clone(watched.or_insert_with(|| Rc::new(Watched::of(machine, crossing))));
                let next = groups.len();
                let place = *known.entry((crossing.worst, watched.likeness())).or_insert(next);
                if place == next {
                    groups.push(Group::of(crossing.worst, &watched));
                }
                if let Some(group) = groups.get_mut(place) {
                    group.add(self.pair(crossing, watched), at);
                }
            }
        }
        groups.sort_by_key(|group| group.seen);
        self.told(&merged(groups))
    }

    /// As many groups as the page can bear in rows of their own; what is left is told together, kind by kind.
    fn told(&self, groups: &[Group<'g>]) -> Vec<Row> {
        let mut bytes = 0_usize;
        let fits = |row: &Row| {
            bytes = bytes.saturating_add(row.row.bytes());
            bytes <= MOST_BYTES
        };
        let mut rows: Vec<Row> = groups.iter().take(MOST_ROWS).map(|group| self.row(group)).take_while(fits).collect();
        let rest = groups.get(rows.len()..).unwrap_or_default().chunk_by(|one, other| one.seen == other.seen);
        rows.extend(rest.map(|groups| self.together(groups)));
        rows
    }

    /// One row for all crossings of many groups: only the worst that is seen, and the pairs.
    fn together(&self, groups: &[Group<'g>]) -> Row {
        let all = || groups.iter().flat_map(|group| &group.pairs);
        let shown = |(pair, on): &(Pair<'g>, Few)| {
            let (marks, at) = (pair.hoses.map(|id| self.mark(id)), pair.at.clone());
            Shown { marks, at, instead: String::new(), natural: true, on: self.machines.named(on) }
        };
        let hoses: BTreeSet<[&str; 2]> = all().map(|(pair, _)| pair.hoses).collect();
        let (at, on, pairs) = apart(self.in_lines(&joined(all().map(shown))));
        let row = view::Crossing {
            seen: groups.first().map(|group| self.place.word(seen_word(group.seen))).unwrap_or_default(),
            hoses: self.in_one(&hoses),
            at,
            on,
            pairs,
            said_of: self.place.word("told_together"),
            scenes: Vec::new(),
            unseen: false,
            faults: self.faults(&hoses),
        };
        Row { row, pairs: self.marked(&hoses) }
    }

    /// Pairs in one line, by their marks.
    fn in_one(&self, hoses: &BTreeSet<[&'g str; 2]>) -> Vec<String> {
        let marks: Vec<[&str; 2]> = hoses.iter().map(|hoses| hoses.map(|id| self.mark(id))).collect();
        lines(&marks).iter().map(|line| self.line(line)).collect()
    }

    /// The faults with one of some pairs among their causes.
    fn faults(&self, hoses: &BTreeSet<[&str; 2]>) -> Vec<Link> {
        let covered = self.place.guide.faults.iter().filter(|fault| covers(fault, hoses));
        covered.map(|fault| self.place.link(Kind::Fault, fault.id())).collect()
    }

    fn marked(&self, hoses: &BTreeSet<[&'g str; 2]>) -> BTreeSet<[String; 2]> {
        hoses.iter().map(|hoses| hoses.map(|id| self.mark(id).to_owned())).collect()
    }

    fn row(&self, group: &Group<'g>) -> Row {
        let hoses: BTreeSet<[&str; 2]> = group.pairs.iter().map(|(pair, _)| pair.hoses).collect();
        let standing = self.place.word("all_standing");
        let direction = |operation: &Operation| self.directions.get(operation).unwrap_or(&standing).clone();
        let pairs = joined(group.pairs.iter().map(|(pair, on)| self.shown(group, pair, on)));
        let first = pairs.first().map(Shown::hoses).unwrap_or_default();
        let (pairs, said_of) = if pairs.len() > SPELT_OUT {
            (self.in_lines(&pairs), "said_of_many")
        } else {
            (pairs.iter().map(Shown::view).collect(), "said_of")
        };
        let said = group.pairs.iter().any(|(pair, _)| !group.instead_of(pair).is_empty());
        let (at, on, pairs) = apart(pairs);
        let row = view::Crossing {
            seen: self.place.word(seen_word(group.seen)),
            hoses: self.in_one(&hoses),
            at,
            on,
            scenes: worded(&group.watched, &self.place, &self.rows, &direction, &|on| self.machines.named(on)),
            unseen: group.seen == Seen::NoDifference,
            said_of: if said { self.place.said(said_of, &[("pair", first)]) } else { String::new() },
            pairs,
            faults: self.faults(&hoses),
        };
        Row { row, pairs: self.marked(&hoses) }
    }

    fn shown(&self, group: &Group<'g>, pair: &Pair<'g>, on: &Few) -> Shown<'g> {
        let instead = group.instead_of(pair);
        let first = group.pairs.first().map_or(pair.hoses, |(first, _)| first.hoses);
        let natural = instead.iter().all(|(this, that)| self.take_places(pair.hoses, first, [this, that]));
        let said = instead
            .into_iter()
            .map(|(this, that)| self.place.said("instead_of", &[("this", self.name(this)), ("that", self.name(that))]));
        Shown {
            marks: pair.hoses.map(|id| self.mark(id)),
            at: pair.at.clone(),
            instead: said.collect::<Vec<_>>().join("; "),
            natural,
            on: self.machines.named(on),
        }
    }

    /// True where two cylinders are those that one hose of a pair and the hose in its place of another lead to.
    fn take_places(&self, pair: [&str; 2], first: [&str; 2], [this, that]: [&Id<Actuator>; 2]) -> bool {
        let leads = |hose: &str, to: &Id<Actuator>| self.leads.get(hose).is_some_and(|all| all.contains(to));
        let [one, other] = first;
        let orders = [[one, other], [other, one]];
        orders.iter().any(|order| {
            let both = || pair.iter().zip(order);
            both().any(|(ours, theirs)| {
                (leads(ours, this) && leads(theirs, that)) || (leads(ours, that) && leads(theirs, this))
            })
        })
    }

    /// Many pairs in few lines: those with one place, on the same machines, together.
    fn in_lines(&self, pairs: &[Shown<'g>]) -> Vec<view::Pair> {
        let mut alike: Vec<(&Shown<'g>, Vec<[&'g str; 2]>)> = Vec::new();
        let mut known: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
        for pair in pairs {
            let instead = if pair.natural { "" } else { pair.instead.as_str() };
            let next = alike.len();
            let place = *known.entry((&pair.at, &pair.on, instead)).or_insert(next);
            if place == next {
                alike.push((pair, Vec::new()));
            }
            if let Some((_, marks)) = alike.get_mut(place) {
                marks.push(pair.marks);
            }
        }
        let of_one = |(pair, marks): &(&Shown<'g>, Vec<[&'g str; 2]>)| {
            let line = |line: &Line<'_>| view::Pair { hoses: self.line(line), ..pair.view_in_line() };
            lines(marks).iter().map(line).collect::<Vec<_>>()
        };
        alike.iter().flat_map(of_one).collect()
    }

    fn line(&self, line: &Line<'_>) -> String {
        match line {
            Line::AnyTwo(marks) => self.place.said("any_two", &[("hoses", marks.join(", "))]),
            Line::Each(these, those) => format!("{}\u{a0}\u{d7}\u{a0}{}", these.join(", "), those.join(", ")),
        }
    }

    fn pair(&self, crossing: &'g Crossing, watched: Rc<Watched>) -> Pair<'g> {
        let parts = crossing.ends.each_ref().map(|end| self.part(end));
        let at = match &parts {
            [Some(one), Some(other)] if one == other => one.clone(),
            parts => parts.iter().flatten().cloned().collect::<Vec<_>>().join(" + "),
        };
        Pair { hoses: hoses(crossing), at, watched }
    }

    fn mark(&self, id: &'g str) -> &'g str {
        self.rows.hose(id).map_or(id, |hose| hose.mark.value.as_str())
    }

    /// The part a hose end is screwed to.
    fn part(&self, end: &HoseEnd) -> Option<String> {
        let hose = self.rows.hose(end.hose.as_str())?;
        let port = if end.end == End::From { hose.from.as_ref()? } else { hose.to.as_ref()? };
        Some(self.place.part(&self.rows.port(port.as_str())?.part).text)
    }

    fn name(&self, actuator: &Id<Actuator>) -> String {
        self.rows.actuator(actuator.as_str()).map_or(String::new(), |it| it.name.value.clone())
    }

    /// Crossings that neither a mark nor a colour gives away.
    pub(super) fn not_told_apart(&self) -> Vec<String> {
        let alike = |machine| {
            let alike = self.on(machine).filter(|crossing| !crossing.marks_differ && !crossing.colours_differ);
            let pairs: BTreeSet<[&str; 2]> = alike.map(|crossing| hoses(crossing).map(|id| self.mark(id))).collect();
            let pairs: Vec<[&str; 2]> = pairs.into_iter().collect();
            if pairs.len() > SPELT_OUT {
                return lines(&pairs).iter().map(|line| self.line(line)).collect();
            }
            pairs.iter().map(crossed_marks).collect()
        };
        let labelled = |(pair, on): (String, String)| if on.is_empty() { pair } else { format!("{pair} ({on})") };
        self.machines.gathered(alike).into_iter().map(labelled).collect()
    }

    /// How many crossings of this circuit were not worked out, on the machine that has most of them.
    pub(super) fn left_out(&self) -> usize {
        let of = |machine: &&MachineHydraulics| {
            machine.crossings(self.place.guide).left_out.get(self.circuit.id()).copied().unwrap_or(0)
        };
        self.machines.all.iter().map(of).max().unwrap_or(0)
    }

    /// The marks of the circuit's hoses, as its table has them.
    pub(super) fn marks(&self) -> impl Iterator<Item = &'g str> {
        self.circuit.hoses.iter().map(|hose| hose.mark.value.as_str())
    }

    /// The hoses that may share a colour, one line a colour; only those of this circuit.
    pub(super) fn markings(&self) -> Vec<view::Marking> {
        let all = self.machines.gathered(|machine| vec![self.marking(machine)]);
        all.into_iter()
            .filter(|(groups, _)| !groups.is_empty())
            .map(|(groups, on)| view::Marking { on, groups })
            .collect()
    }

    fn marking(&self, machine: &MachineHydraulics) -> Vec<String> {
        let marking = &machine.crossings(self.place.guide).marking_where_it_matters;
        let mut groups: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
        for hose in &self.circuit.hoses {
            if let Some(colour) = marking.of.get(hose.id.value.as_str()) {
                let marks = groups.entry(*colour).or_default();
                if !marks.contains(&hose.mark.as_str()) {
                    marks.push(&hose.mark);
                }
            }
        }
        groups.into_values().map(|marks| marks.join(", ")).collect()
    }
}

fn hoses(crossing: &Crossing) -> [&str; 2] {
    let [one, other] = &crossing.ends;
    [one.hose.as_str(), other.hose.as_str()]
}

/// True where a cause of a fault is one of these crossings.
fn covers(fault: &Fault, hoses: &BTreeSet<[&str; 2]>) -> bool {
    fault.causes.iter().any(|cause| match cause.crossing.as_slice() {
        [one, other] => {
            let (one, other) = (one.as_str(), other.as_str());
            hoses.contains(&[one, other]) || hoses.contains(&[other, one])
        }
        _ => false,
    })
}

fn seen_word(seen: Seen) -> &'static str {
    match seen {
        Seen::PressureAtReservoir => "seen_pressure_at_reservoir",
        Seen::NothingLimits => "seen_nothing_limits",
        Seen::LoadMoves => "seen_load_moves",
        Seen::DoesNotHold => "seen_does_not_hold",
        Seen::WrongWay => "seen_wrong_way",
        Seen::AnotherMoves => "seen_another_moves",
        Seen::OneSideOnly => "seen_one_side_only",
        Seen::HandPumpDead => "seen_hand_pump_dead",
        Seen::NothingMoves => "seen_nothing_moves",
        Seen::FastAndWeak => "seen_fast_and_weak",
        Seen::FluidAstray => "seen_fluid_astray",
        Seen::OtherSpeed => "seen_other_speed",
        Seen::NoDifference => "seen_no_difference",
    }
}
