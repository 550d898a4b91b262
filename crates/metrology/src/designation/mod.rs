//! From the words on a drawing to a thread.
