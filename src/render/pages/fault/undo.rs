//! What was opened to look has to be undone before the machine is tested or moved.

use std::collections::BTreeSet;

use super::Page;
use crate::model::Check;
use crate::reason::walk::{Opened, WalkStep};
use crate::render::views::fault as view;

impl Page<'_, '_> {
    pub(super) fn undo_at_end(&self, end: usize) -> view::Undo {
        self.opened.1.get(end).map(|opened| self.undo(opened)).unwrap_or_default()
    }

    /// Where an answer of a check leads to another fault, that page does not know what stands open; no ending knows what
    /// a check outside the plan has opened.
    pub(super) fn undo_at_check(&self, index: usize, check: &Check, step: &WalkStep) -> view::Undo {
        if step.answers.is_empty() {
            let may = step.opens.iter().copied().collect();
            return self.undo(&Opened { may, must: BTreeSet::new() });
        }
        let leaves = check.answers.iter().any(|answer| answer.go_to.is_some());
        let opened = self.opened.0.get(index).filter(|_| leaves);
        opened
            .map(|opened| view::Undo { says: self.place.word("put_back_leaving"), ..self.undo(opened) })
            .unwrap_or_default()
    }

    /// Whatever the page has opened: who stops may stand anywhere.
    pub(super) fn undo_all(&self) -> view::Undo {
        let may = (0..self.fault.accesses.len()).collect();
        self.undo(&Opened { may, must: BTreeSet::new() })
    }

    fn undo(&self, opened: &Opened) -> view::Undo {
        let says = if opened.may == opened.must { "put_back" } else { "put_back_any" };
        let what = opened.may.iter().filter_map(|place| self.fault.accesses.get(*place));
        let what: Vec<&str> = what.map(|access| access.action.as_str()).collect();
        view::Undo { says: self.place.word(says), what: what.join("; ") }
    }
}
