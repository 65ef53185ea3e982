//! aludel: balances reactions exactly, chains them into a route, and keeps the books.

pub mod data;
pub mod equation;
pub mod matter;
pub mod number;
pub mod route;
pub mod solution;
pub mod text;
pub mod thermo;
