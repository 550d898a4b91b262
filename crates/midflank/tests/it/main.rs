//! Tests of the program as a whole.

mod web;
