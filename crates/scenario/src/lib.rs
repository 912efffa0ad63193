//! tautleaf scenario
