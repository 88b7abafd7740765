//! Exchanges of hose ends on one machine, each solved only where it can change something, and each way of joining once.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::effect::{Crossed, Outlet, Plain, Watched, difference};
use super::ends::Fitted;
use super::facts::Difference;
use super::swap;
use super::touched::{Layout, Touched};
use crate::reason::hydraulics::net::{Net, Node, Ram};
use crate::reason::hydraulics::operate::{Run, anew, leaking};
use crate::reason::hydraulics::ram::{Offer, Solved};
use crate::reason::hydraulics::{ActuatorDoes, MachineHydraulics, Operation};

/// Two hoses, and what the two of them join once ends are exchanged.
type Joined = ([usize; 2], [[Option<Node>; 2]; 2]);

/// The exchanges of one machine.
pub(super) struct Exchanges<'f> {
    net: Net,
    layout: Layout,
    plain: Vec<Plain<'f>>,
    worked: BTreeMap<Joined, Arc<Vec<Difference>>>,
    known: Known,
    /// Looks at nodes and passages so far.
    pub(super) steps: usize,
}

impl<'f> Exchanges<'f> {
    pub(super) fn of(net: Net, facts: &'f MachineHydraulics) -> Self {
        let plain = facts.operations.iter().map(|one| Plain::of(&net, one)).collect();
        let known = Known { of: vec![Vec::new(); net.rams.len()] };
        Self { layout: Layout::of(&net), plain, worked: BTreeMap::new(), known, net, steps: 0 }
    }

    /// Every operation that is otherwise with two ends exchanged.
    pub(super) fn differences(&mut self, one: &Fitted, other: &Fitted) -> Arc<Vec<Difference>> {
        swap(&mut self.net, one, other);
        let joined = self.joined(one, other);
        let found = self.worked.get(&joined).cloned();
        let found = found.unwrap_or_else(|| {
            let found = Arc::new(self.work_out());
            self.worked.insert(joined, Arc::clone(&found));
            found
        });
        swap(&mut self.net, one, other);
        found
    }

    fn joined(&self, one: &Fitted, other: &Fitted) -> Joined {
        let (mut lines, mut ends) = ([one.line, other.line], [[None; 2]; 2]);
        lines.sort_unstable();
        for (line, slot) in lines.iter().zip(&mut ends) {
            *slot = self.net.lines.get(*line).map_or([None; 2], |line| line.ends);
            slot.sort_unstable();
        }
        // Which of the two hoses joins which ports is all the same.
        ends.sort_unstable();
        (lines, ends)
    }

    /// Solves the network as it is laid out now.
    fn work_out(&mut self) -> Vec<Difference> {
        let Self { net, layout, plain, known, steps, .. } = self;
        *steps += net.nodes;
        let Some(touched) = Touched::of(net, layout, &Layout::of(net)) else { return Vec::new() };
        let still = Solving::of(&touched, &Operation::Standing, known);
        let standing = still.creeping(&touched, known);
        *steps += 2 * still.steps;
        let one = |plain: &Plain<'_>| match &plain.facts.operation {
            Operation::Standing => difference(plain, &standing.crossed()),
            Operation::Run { pump, .. } if touched.has(pump) => {
                let run = Solving::of(&touched, &plain.facts.operation, known);
                *steps += run.steps;
                difference(plain, &run.crossed())
            }
            Operation::Run { .. } => difference(plain, &still.crossed()),
        };
        plain.iter().filter_map(one).collect()
    }
}

/// One operation on what is touched.
struct Solving {
    acts: Vec<(usize, Watched)>,
    /// Where the pump's flow goes, where one runs.
    flow: Option<Outlet>,
    steps: usize,
}

impl Solving {
    fn of(touched: &Touched, operation: &Operation, known: &mut Known) -> Self {
        let run = Run::of(&touched.net, operation, &mut |place, ram, offer| known.solve(touched, place, ram, offer));
        let acts = touched.net.rams.iter().zip(&run.solved).zip(&touched.rams).filter_map(|((ram, solved), place)| {
            let (_, solved) = solved.as_ref()?;
            Some((*place, (run.act(ram, solved), run.set.returns_to(ram, solved))))
        });
        let pressed =
            touched.net.ports.iter().filter(|(_, node)| run.set.pressed(run.set.regions.region(**node)).is_some());
        let flow = run.set.running.is_some().then(|| Outlet {
            spill: run.set.spill.clone(),
            into: run.set.spills_into(),
            pressed: pressed.map(|(port, _)| port.clone()).collect(),
        });
        Self { acts: acts.collect(), flow, steps: run.set.steps }
    }

    /// The same with all pumps standing, and what then creeps.
    fn creeping(&self, touched: &Touched, known: &mut Known) -> Self {
        let leaks = leaking(&touched.net, &mut |place, ram, offer| known.solve(touched, place, ram, offer));
        let mut leaks: BTreeMap<usize, bool> = touched.rams.iter().copied().zip(leaks).collect();
        let mut acts = self.acts.clone();
        for (place, (act, _)) in &mut acts {
            act.creeps = act.does != ActuatorDoes::Floats && leaks.remove(place) == Some(true);
        }
        Self { acts, flow: None, steps: 0 }
    }

    fn crossed(&self) -> Crossed<'_> {
        Crossed { acts: &self.acts, flow: self.flow.as_ref() }
    }
}

/// What cylinders made of offers before: most exchanges leave most of them with the same.
struct Known {
    of: Vec<Vec<(Offer, Option<Solved>)>>,
}

impl Known {
    fn solve(&mut self, touched: &Touched, place: usize, ram: &Ram, offer: &Offer) -> Option<Solved> {
        let Some(known) = touched.rams.get(place).and_then(|place| self.of.get_mut(*place)) else {
            return anew(place, ram, offer);
        };
        if let Some((_, solved)) = known.iter().find(|(known, _)| known == offer) {
            return solved.clone();
        }
        let solved = anew(place, ram, offer);
        known.push((offer.clone(), solved.clone()));
        solved
    }
}
