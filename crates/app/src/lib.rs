//! tautleaf app
