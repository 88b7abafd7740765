//! Which hose ends can change places.

use std::collections::BTreeMap;

use crate::model::{Circuit, Guide, Hose, Id, Part, Port};
use crate::reason::hydraulics::net::{Net, Node};
use crate::reason::{End, HoseEnd, holds};

/// A hose end where it belongs.
#[derive(Debug, Clone)]
pub(in crate::reason::hydraulics) struct Fitted {
    pub(in crate::reason::hydraulics) end: HoseEnd,
    /// Index of the hose among the lines of the network, and of its end.
    pub(super) line: usize,
    pub(super) at: usize,
    pub(super) circuit: Id<Circuit>,
    pub(super) mark: String,
    pub(super) colour: String,
    node: Node,
    fitting: String,
    pub(super) part: Id<Part>,
    reach: Option<String>,
}

/// Every hose end of a machine that sits on a known port.
pub(super) fn ends(guide: &Guide, net: &Net) -> Vec<Fitted> {
    let ports: BTreeMap<&str, &Port> =
        guide.circuits.iter().flat_map(|circuit| &circuit.ports).map(|port| (port.id.value.as_str(), port)).collect();
    let on_it = |circuit: &&Circuit| holds(circuit.head.applies_to.as_deref(), &net.machine);
    let hoses =
        guide.circuits.iter().filter(on_it).flat_map(|circuit| circuit.hoses.iter().map(move |it| (circuit, it)));
    let hoses = hoses.filter(|(_, hose)| holds(hose.variants.as_deref(), &net.machine));
    let mut ends = Vec::new();
    for (line, (circuit, hose)) in hoses.enumerate() {
        for (at, (end, port)) in [(End::From, &hose.from), (End::To, &hose.to)].into_iter().enumerate() {
            let known = port.as_ref().and_then(|port| ports.get(port.as_str()));
            let Some(port) = known else { continue };
            ends.extend(fitted(net, circuit, hose, port, (line, at, end)));
        }
    }
    ends
}

fn fitted(
    net: &Net,
    circuit: &Circuit,
    hose: &Hose,
    port: &Port,
    (line, at, end): (usize, usize, End),
) -> Option<Fitted> {
    Some(Fitted {
        end: HoseEnd { hose: Id::new(hose.id.value.as_str()), end },
        line,
        at,
        circuit: Id::new(circuit.head.id.value.as_str()),
        mark: folded(&hose.mark),
        colour: folded(&hose.colour),
        node: *net.ports.get(port.id.value.as_str())?,
        fitting: folded(&port.fitting),
        part: port.part.value.clone(),
        reach: port.reach.as_ref().map(|place| folded(place)),
    })
}

impl Fitted {
    /// True where two ends of different hoses fit each other's port and lie within reach of each other.
    pub(super) fn can_change_with(&self, other: &Self) -> bool {
        let near = self.part == other.part || (self.reach.is_some() && self.reach == other.reach);
        self.line != other.line && self.node != other.node && self.fitting == other.fitting && near
    }
}

/// A word as people compare it: without capitals and doubled spaces.
fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
