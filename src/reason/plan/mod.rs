//! The plan of one fault: the order of checks with the least expected minutes.
