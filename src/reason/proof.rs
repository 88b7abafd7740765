//! Which repairs must not be done on a guess: they cost a dear part, or days at a depot.

use std::collections::BTreeSet;

use super::calls::{Role, calls};
use super::recalibration::{Reach, disturbing};
use crate::model::{Guide, Id, Need, Part, Procedure};

/// Why a repair wants proof first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantsProof {
    /// It disturbs or replaces this costly part, in this procedure.
    Costly { part: Id<Part>, procedure: Id<Procedure> },
    /// The control unit must, or may have to, be recalibrated after it.
    Recalibration(Need),
}

/// Why a repair wants proof; `None` where it may be done on a guess.
pub fn wants_proof(guide: &Guide, reach: &Reach, repair: &Id<Procedure>) -> Option<WantsProof> {
    costly(guide, repair).or_else(|| {
        let reached = reach.greatest(repair.as_str());
        let procedure = guide.procedures.get(repair);
        let said = procedure.into_iter().flat_map(|procedure| &procedure.recalibration).map(|tag| tag.need.value).max();
        let need = reached.max(said.unwrap_or(Need::None));
        (need != Need::None).then_some(WantsProof::Recalibration(need))
    })
}

/// The first costly part that a repair, or a procedure its steps run, disturbs or replaces.
fn costly(guide: &Guide, repair: &Id<Procedure>) -> Option<WantsProof> {
    let mut seen = BTreeSet::from([repair.clone()]);
    let mut open = vec![repair.clone()];
    while let Some(here) = open.pop() {
        let Some(procedure) = guide.procedures.get(&here) else { continue };
        for because in disturbing(procedure) {
            let Some(part) = because.part() else { continue };
            if guide.parts.get(part).is_some_and(|part| part.costly) {
                return Some(WantsProof::Costly { part: part.clone(), procedure: here });
            }
        }
        let runs = calls(procedure).filter(|(role, _)| matches!(role, Role::Step(_)));
        open.extend(runs.map(|(_, link)| link.value.clone()).filter(|id| seen.insert(id.clone())));
    }
    None
}
