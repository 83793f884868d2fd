//! A text of the subset once it is read: names are places, types are right.

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Type {
    Bool,
    Real,
    Time,
    Ton,
    Trigger,
    /// A function block of the text, by its index.
    Block(usize),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Section {
    Input,
    Output,
    Own,
    Retained,
}

#[derive(Debug, Clone)]
pub(crate) struct Variable {
    pub(crate) name: String,
    pub(crate) kind: Type,
    pub(crate) section: Section,
}

/// A function block or the program.
#[derive(Debug, Clone)]
pub(crate) struct Unit {
    pub(crate) name: String,
    pub(crate) is_program: bool,
    pub(crate) variables: Vec<Variable>,
    pub(crate) body: Vec<Statement>,
}

#[derive(Debug, Clone)]
pub(crate) enum Statement {
    /// A variable, by its place among the unit's.
    Assign(usize, Expression),
    /// An instance and its type; which of its own variables get what.
    Call(usize, Type, Vec<(usize, Expression)>),
    /// Conditions in turn, each with what is done; then what is done otherwise.
    If(Vec<(Expression, Vec<Self>)>, Vec<Self>),
}

#[derive(Debug, Clone)]
pub(crate) enum Expression {
    Bool(bool),
    Real(f32),
    Time(i64),
    Variable(usize),
    /// A variable of an instance.
    Member(usize, usize),
    Not(Box<Self>),
    And(Box<Self>, Box<Self>),
    Or(Box<Self>, Box<Self>),
    Compare(&'static str, Box<Self>, Box<Self>),
}

/// Variables of the standard's two blocks, inputs first; how many of them are inputs.
pub(crate) const TON: ([(&str, Type); 4], usize) = (
    [
        ("IN", Type::Bool),
        ("PT", Type::Time),
        ("Q", Type::Bool),
        ("ET", Type::Time),
    ],
    2,
);
pub(crate) const TRIGGER: ([(&str, Type); 2], usize) = ([("CLK", Type::Bool), ("Q", Type::Bool)], 1);
