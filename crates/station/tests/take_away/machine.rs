//! What runs a text of the subset, scan by scan.

use super::lexer::Outside;
use super::parser::parse;
use super::tree::{Expression, Section, Statement, Type, Unit};

/// An on-delay of IEC 61131-3: ET counts while IN is TRUE and stands at PT; Q is TRUE once ET is PT; both fall with IN.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Ton {
    pub(crate) input: bool,
    pub(crate) preset_ms: i64,
    pub(crate) since_ms: Option<i64>,
    pub(crate) q: bool,
    pub(crate) elapsed_ms: i64,
}

impl Ton {
    pub(crate) fn call(&mut self, now_ms: i64) {
        if self.input {
            let since_ms = *self.since_ms.get_or_insert(now_ms);
            self.elapsed_ms = (now_ms - since_ms).min(self.preset_ms);
            self.q = now_ms - since_ms >= self.preset_ms;
        } else {
            self.since_ms = None;
            self.elapsed_ms = 0;
            self.q = false;
        }
    }
}

/// `R_TRIG` of IEC 61131-3: `Q := CLK AND NOT M; M := CLK;`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Trigger {
    pub(crate) clock: bool,
    memory: bool,
    pub(crate) q: bool,
}

impl Trigger {
    pub(crate) fn call(&mut self) {
        self.q = self.clock && !self.memory;
        self.memory = self.clock;
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    Bool(bool),
    Real(f32),
    Time(i64),
    Ton(Ton),
    Trigger(Trigger),
    Block(Box<[Self]>),
}

/// A program that runs.
#[derive(Debug, Clone)]
pub(crate) struct Machine {
    units: Vec<Unit>,
    program: usize,
    values: Box<[Value]>,
}

impl Machine {
    /// Reads a text with one program in it.
    pub(crate) fn new(text: &str) -> Result<Self, Outside> {
        let units = parse(text)?;
        let program = units.iter().position(|unit| unit.is_program).expect("a program");
        let values = fresh(&units, program);
        Ok(Self {
            units,
            program,
            values,
        })
    }

    /// The place of a variable of the program.
    pub(crate) fn place(&self, name: &str) -> usize {
        place(&self.units[self.program], name)
    }

    /// The places of an instance in the program, and of a variable in it.
    pub(crate) fn place_in(&self, instance: &str, name: &str) -> (usize, usize) {
        let at = self.place(instance);
        let Type::Block(unit) = self.units[self.program].variables[at].kind else {
            panic!("{instance} is no function block");
        };
        (at, place(&self.units[unit], name))
    }

    pub(crate) fn set(&mut self, at: usize, value: Value) {
        let slot = &mut self.values[at];
        assert_eq!(
            core::mem::discriminant(slot),
            core::mem::discriminant(&value),
            "another type"
        );
        *slot = value;
    }

    pub(crate) fn is_on(&self, at: usize) -> bool {
        bool_of(&self.values[at])
    }

    pub(crate) fn is_on_in(&self, (instance, at): (usize, usize)) -> bool {
        bool_of(&member(&self.values[instance], at))
    }

    /// One scan at a moment.
    pub(crate) fn scan(&mut self, now_ms: i64) {
        let unit = &self.units[self.program];
        run(&self.units, &unit.body, &mut self.values, now_ms);
    }

    /// One more call of an instance, as it is; whether anything changed in it.
    pub(crate) fn would_change(&self, instance: usize, now_ms: i64) -> bool {
        let mut again = self.values[instance].clone();
        call(&self.units, self.kind(instance), &mut again, now_ms);
        again != self.values[instance]
    }

    fn kind(&self, at: usize) -> Type {
        self.units[self.program].variables[at].kind
    }

    /// Power comes back: everything begins anew but what is RETAIN.
    pub(crate) fn restart(&mut self) {
        let anew = fresh(&self.units, self.program);
        let old = core::mem::replace(&mut self.values, anew);
        keep_retained(&self.units, self.program, &old, &mut self.values);
    }
}

fn place(unit: &Unit, name: &str) -> usize {
    let name = name.to_ascii_uppercase();
    let found = unit.variables.iter().position(|own| own.name == name);
    found.unwrap_or_else(|| panic!("{name} isn't declared"))
}

fn fresh(units: &[Unit], unit: usize) -> Box<[Value]> {
    units[unit]
        .variables
        .iter()
        .map(|own| match own.kind {
            Type::Bool => Value::Bool(false),
            Type::Real => Value::Real(0.0),
            Type::Time => Value::Time(0),
            Type::Ton => Value::Ton(Ton::default()),
            Type::Trigger => Value::Trigger(Trigger::default()),
            Type::Block(at) => Value::Block(fresh(units, at)),
        })
        .collect()
}

fn keep_retained(units: &[Unit], unit: usize, old: &[Value], anew: &mut [Value]) {
    for (at, own) in units[unit].variables.iter().enumerate() {
        match (own.kind, &old[at], &mut anew[at]) {
            (Type::Block(inner), Value::Block(old), Value::Block(anew)) => {
                keep_retained(units, inner, old, anew);
            }
            (_, old, anew) if own.section == Section::Retained => *anew = old.clone(),
            _ => {}
        }
    }
}

fn run(units: &[Unit], body: &[Statement], values: &mut [Value], now_ms: i64) {
    for statement in body {
        match statement {
            Statement::Assign(at, of) => values[*at] = evaluate(of, values),
            Statement::Call(at, kind, given) => {
                for (input, of) in given {
                    let value = evaluate(of, values);
                    set_member(&mut values[*at], *input, value);
                }
                call(units, *kind, &mut values[*at], now_ms);
            }
            Statement::If(cases, otherwise) => {
                let case = cases.iter().find(|(when, _)| bool_of(&evaluate(when, values)));
                run(units, case.map_or(otherwise, |(_, then)| then), values, now_ms);
            }
        }
    }
}

fn call(units: &[Unit], kind: Type, instance: &mut Value, now_ms: i64) {
    match (kind, instance) {
        (_, Value::Ton(ton)) => ton.call(now_ms),
        (_, Value::Trigger(trigger)) => trigger.call(),
        (Type::Block(unit), Value::Block(values)) => run(units, &units[unit].body, values, now_ms),
        (_, other) => panic!("{other:?} can't be called"),
    }
}

fn set_member(instance: &mut Value, at: usize, value: Value) {
    match (instance, at, value) {
        (Value::Ton(ton), 0, Value::Bool(input)) => ton.input = input,
        (Value::Ton(ton), 1, Value::Time(ms)) => ton.preset_ms = ms,
        (Value::Trigger(trigger), 0, Value::Bool(clock)) => trigger.clock = clock,
        (Value::Block(values), at, value) => values[at] = value,
        (other, at, _) => panic!("{other:?} has no input {at}"),
    }
}

fn member(instance: &Value, at: usize) -> Value {
    match (instance, at) {
        (Value::Ton(ton), 0) => Value::Bool(ton.input),
        (Value::Ton(ton), 1) => Value::Time(ton.preset_ms),
        (Value::Ton(ton), 2) => Value::Bool(ton.q),
        (Value::Ton(ton), 3) => Value::Time(ton.elapsed_ms),
        (Value::Trigger(trigger), 0) => Value::Bool(trigger.clock),
        (Value::Trigger(trigger), 1) => Value::Bool(trigger.q),
        (Value::Block(values), at) => values[at].clone(),
        (other, at) => panic!("{other:?} has no member {at}"),
    }
}

fn bool_of(value: &Value) -> bool {
    match value {
        Value::Bool(on) => *on,
        other => panic!("{other:?} is no BOOL"),
    }
}

fn evaluate(expression: &Expression, values: &[Value]) -> Value {
    let on = |of: &Expression| bool_of(&evaluate(of, values));
    match expression {
        Expression::Bool(on) => Value::Bool(*on),
        Expression::Real(value) => Value::Real(*value),
        Expression::Time(ms) => Value::Time(*ms),
        Expression::Variable(at) => values[*at].clone(),
        Expression::Member(instance, at) => member(&values[*instance], *at),
        Expression::Not(of) => Value::Bool(!on(of)),
        Expression::And(left, right) => Value::Bool(on(left) && on(right)),
        Expression::Or(left, right) => Value::Bool(on(left) || on(right)),
        Expression::Compare(sign, left, right) => {
            let order = match (evaluate(left, values), evaluate(right, values)) {
                (Value::Real(left), Value::Real(right)) => left.partial_cmp(&right),
                (Value::Time(left), Value::Time(right)) => Some(left.cmp(&right)),
                other => panic!("{other:?} can't be compared"),
            };
            // What isn't a number is neither below nor above.
            Value::Bool(order.is_some_and(|order| match *sign {
                "<" => order.is_lt(),
                "<=" => order.is_le(),
                ">" => order.is_gt(),
                _ => order.is_ge(),
            }))
        }
    }
}
