//! `procedures/*.toml`

use crate::model::quantity::Dimension;
use crate::model::{CheckAgain, Consumable, FunctionTest, Guide, Id, Kind, Procedure, ProcedureKind, ProseRole, Step};
use crate::read::record::Record;

const KINDS: [(&str, ProcedureKind); 4] = [
    ("repair", ProcedureKind::Repair),
    ("task", ProcedureKind::Task),
    ("make-safe", ProcedureKind::MakeSafe),
    ("test", ProcedureKind::Test),
];

/// The one procedure of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    if let Some(procedure) = record.single("procedure", procedure) {
        guide.procedures.insert(Id::new(procedure.head.id.value.as_str()), procedure);
    }
}

/// `[procedure]` stands beside the lists of its steps, so the whole file is its record.
fn procedure(top: &mut Record<'_, '_>) -> Option<Procedure> {
    let procedure = top.child("procedure", main_table);
    let owner = procedure.as_ref().map(|procedure| procedure.head.id.clone());
    top.adopt(Kind::Procedure, owner.as_ref());
    let recalibration = top.recalibration();
    let consumables = top.children("consumable", consumable);
    let steps = top.children("step", step);
    let check_again = top.children("check_again", check_again);
    let function_test = top.child("function_test", function_test);
    let mut procedure = procedure?;
    procedure.head.span = top.span;
    Some(Procedure { recalibration, consumables, steps, check_again, function_test, ..procedure })
}

fn main_table(record: &mut Record<'_, '_>) -> Option<Procedure> {
    let head = record.head(Kind::Procedure);
    let title = record.line("title", ProseRole::Text, "what the procedure does");
    let kind = record.one_of("kind", &KINDS);
    let seconds = record.minutes("minutes");
    let procedure = Procedure {
        says: record.prose_opt("says", ProseRole::Text),
        makes_safe: record.links("makes_safe", Kind::Hazard),
        state: record.link_opt("state", Kind::State),
        make_safe: record.links("make_safe", Kind::Procedure),
        cautions: record.cautions(),
        tools: record.words("tools"),
        touches: record.touches(),
        release: record.prose_opt("release", ProseRole::Text),
        consumables: Vec::new(),
        recalibration: Vec::new(),
        steps: Vec::new(),
        check_again: Vec::new(),
        function_test: None,
        head: head?,
        title: title?,
        kind: kind?,
        seconds: seconds?,
    };
    Some(procedure)
}

fn consumable(record: &mut Record<'_, '_>) -> Option<Consumable> {
    let part = record.link_opt("part", Kind::Part);
    let name = record.word_opt("name");
    if part.is_none() && !record.has("part") && name.is_none() {
        record.missing("name", "what is used up, or `part`, where it is a part of the guide");
    }
    let amount = record.varied_any("amount");
    let count = record.count_opt("count");
    (part.is_some() || name.is_some()).then_some(Consumable { part, name, amount, count, span: record.span })
}

fn step(record: &mut Record<'_, '_>) -> Option<Step> {
    Some(Step {
        action: record.prose_opt("do", ProseRole::Step),
        run: record.link_opt("run", Kind::Procedure),
        expect: record.prose_opt("expect", ProseRole::Step),
        cautions: record.cautions(),
        touches: record.touches(),
        torque: record.varied("torque", Dimension::Torque),
        reading: record.link_opt("reading", Kind::Reading),
        picture: record.picture(),
        wait: record.quantity_opt("wait", Some(Dimension::Time)),
        span: record.span,
    })
}

fn check_again(record: &mut Record<'_, '_>) -> Option<CheckAgain> {
    let says = record.line_opt("says", ProseRole::Text);
    let reading = record.link_opt("reading", Kind::Reading);
    let fault = record.link_opt("fault", Kind::Fault);
    let check_word = record.word_opt("check");
    let procedure = record.link_opt("procedure", Kind::Procedure);
    let check = match (fault, check_word) {
        (Some(fault), Some(word)) => {
            let owner = fault.as_str().to_owned();
            let check = record.mention_in("check", Kind::Check, &owner, word);
            Some((fault, check))
        }
        (Some(fault), None) => Some((fault, None)),
        (None, Some(word)) => {
            if !record.has("fault") {
                record.missing_beside("check", word.span, "fault", "this record");
            }
            None
        }
        (None, None) => None,
    };
    if says.is_none() && reading.is_none() && check.is_none() && procedure.is_none() && !record.has("fault") {
        record.missing("says", "what to check, or `reading`, `fault` or `procedure`");
        return None;
    }
    Some(CheckAgain { says, reading, check, procedure, span: record.span })
}

fn function_test(record: &mut Record<'_, '_>) -> Option<FunctionTest> {
    let says = record.prose_opt("says", ProseRole::Step);
    let procedure = record.link_opt("procedure", Kind::Procedure);
    if says.is_none() && procedure.is_none() && !record.has("procedure") {
        record.missing("says", "how to see that the machine works again, or `procedure`");
        return None;
    }
    Some(FunctionTest { says, procedure })
}
