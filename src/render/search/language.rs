//! The workshop's language for the index library: our words in, nothing dropped after.

use super::terms::{Stemmer, code_terms, index_terms, short_parts};
use elasticlunr::pipeline::FnWrapper;
use elasticlunr::{Index, IndexBuilder, Language, Pipeline};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

/// The indexed fields: [`super::Document`]'s texts in their order, then the short numbers in its codes.
pub const FIELDS: [&str; 5] = ["title", "also", "codes", "body", "parts"];
/// Places of the codes and of their parts in [`FIELDS`].
pub const CODES: usize = 2;
pub const PARTS: usize = 4;

/// What the tokenizer notes beside its tokens, which is all that the library keeps.
#[derive(Debug, Default)]
pub struct Notes {
    /// Words met as written, so that a term that is only ever a stem is never offered to a reader.
    pub surfaces: BTreeSet<String>,
    /// Hashes of the neighbours on the page being added.
    pub pairs: BTreeSet<u32>,
    /// Neighbours in the body count too; in a large guide they would outweigh everything else.
    pub body_pairs: bool,
}

/// The notes, shared by the tokenizers of all fields.
pub type SharedNotes = Rc<RefCell<Notes>>;

/// Tokens as the query script makes them.
struct Workshop {
    stemmer: Stemmer,
    notes: SharedNotes,
}

impl Language for Workshop {
    fn name(&self) -> String {
        "Workshop".to_owned()
    }

    fn code(&self) -> String {
        "workshop".to_owned()
    }

    fn tokenize(&self, text: &str) -> Vec<String> {
        index_terms(text, true, &self.stemmer, &mut self.notes.borrow_mut())
    }

    fn make_pipeline(&self) -> Pipeline {
        // Several tokens for one word can only be made by the tokenizer, so the stemmer already ran there.
        let filled = |token: String| (!token.is_empty()).then_some(token);
        Pipeline { queue: vec![Box::new(FnWrapper("filled".to_owned(), filled))] }
    }
}

/// An empty index with our language and fields; weak words are words like others everywhere but in the body.
pub fn empty_index(notes: &SharedNotes) -> Index {
    let (stemmer, of_body) = (Stemmer::new(), notes.clone());
    let [title, also, codes, body, parts] = FIELDS;
    let of_codes = notes.clone();
    let code_terms = move |text: &str| code_terms(text, &stemmer, &mut of_codes.borrow_mut());
    let body_terms = move |text: &str| index_terms(text, false, &stemmer, &mut of_body.borrow_mut());
    IndexBuilder::with_language(Box::new(Workshop { stemmer: Stemmer::new(), notes: notes.clone() }))
        .save_docs(false)
        .add_fields([title, also])
        .add_field_with_tokenizer(codes, Box::new(code_terms))
        .add_field_with_tokenizer(body, Box::new(body_terms))
        .add_field_with_tokenizer(parts, Box::new(move |text: &str| short_parts(text)))
        .build()
}
