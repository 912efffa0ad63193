//! tautleaf report
