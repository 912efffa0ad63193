//! What the program promises as a whole, one file a fact, run as integration tests.
