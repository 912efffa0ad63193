//! tautleaf trials
