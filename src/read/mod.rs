//! From TOML, Markdown and CSV to the model.
