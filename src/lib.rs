//! aludel
