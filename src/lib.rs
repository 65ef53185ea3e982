//! aludel: balances reactions exactly, chains them into a route, and keeps the books.

pub mod advice;
pub mod cli;
pub mod data;
pub mod diagnostic;
pub mod equation;
pub mod figure;
pub mod hazard;
pub mod matter;
pub mod number;
pub mod report;
pub mod route;
pub mod shell;
pub mod solution;
pub mod text;
pub mod thermo;
pub mod vessel;
