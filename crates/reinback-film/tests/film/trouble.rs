//! Files that are no films.
