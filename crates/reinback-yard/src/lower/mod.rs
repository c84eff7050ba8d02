//! What the yard holds, lowered to what the measures of single rides and whole horses work on.

pub mod sheet;
