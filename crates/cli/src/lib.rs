//! tautleaf cli
