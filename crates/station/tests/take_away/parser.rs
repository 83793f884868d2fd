//! The grammar of the subset; names are resolved and types checked while it is read.

use super::lexer::{Outside, Place, Token, tokens};
use super::tree::{Expression, Section, Statement, TON, TRIGGER, Type, Unit, Variable};

pub(crate) fn parse(text: &str) -> Result<Vec<Unit>, Outside> {
    let mut parser = Parser {
        tokens: tokens(text)?,
        next: 0,
        units: Vec::new(),
        own: Vec::new(),
    };
    while parser.peek() != &Token::End {
        let unit = parser.unit()?;
        parser.units.push(unit);
    }
    Ok(parser.units)
}

struct Parser {
    tokens: Vec<(Token, Place)>,
    next: usize,
    units: Vec<Unit>,
    /// Variables of the unit that is read.
    own: Vec<Variable>,
}

type Read<T> = Result<T, Outside>;

impl Parser {
    fn peek(&self) -> &Token {
        &self.tokens[self.next].0
    }

    fn outside<T>(&self, what: impl Into<String>) -> Read<T> {
        Err(Outside::new(self.tokens[self.next].1, what))
    }

    fn word(&mut self) -> Read<String> {
        match self.peek().clone() {
            Token::Word(word) => {
                self.next += 1;
                Ok(word)
            }
            other => self.outside(format!("{other:?} stands where a word must")),
        }
    }

    fn is(&mut self, token: &Token) -> bool {
        let is = self.peek() == token;
        self.next += usize::from(is);
        is
    }

    fn is_word(&mut self, word: &str) -> bool {
        self.is(&Token::Word(word.into()))
    }

    fn sign(&mut self, sign: &'static str) -> Read<()> {
        match self.is(&Token::Sign(sign)) {
            true => Ok(()),
            false => self.outside(format!("`{sign}` is missing")),
        }
    }

    fn unit(&mut self) -> Read<Unit> {
        let is_program = match self.word()?.as_str() {
            "FUNCTION_BLOCK" => false,
            "PROGRAM" => true,
            _ => {
                self.next -= 1;
                return self.outside("only FUNCTION_BLOCK and PROGRAM are in the subset");
            }
        };
        let name = self.word()?;
        self.own.clear();
        while let Some(section) = self.section()? {
            while !self.is_word("END_VAR") {
                self.declaration(section)?;
            }
        }
        let end = if is_program {
            "END_PROGRAM"
        } else {
            "END_FUNCTION_BLOCK"
        };
        let body = self.statements(&[end])?;
        self.next += 1;
        Ok(Unit {
            name,
            is_program,
            variables: core::mem::take(&mut self.own),
            body,
        })
    }

    fn section(&mut self) -> Read<Option<Section>> {
        Ok(match self.peek() {
            Token::Word(word) if word == "VAR_INPUT" => {
                self.next += 1;
                Some(Section::Input)
            }
            Token::Word(word) if word == "VAR_OUTPUT" => {
                self.next += 1;
                Some(Section::Output)
            }
            Token::Word(word) if word == "VAR" => {
                self.next += 1;
                Some(match self.is_word("RETAIN") {
                    true => Section::Retained,
                    false => Section::Own,
                })
            }
            _ => None,
        })
    }

    fn declaration(&mut self, section: Section) -> Read<()> {
        let name = self.word()?;
        if name.len() > 32 {
            return self.outside(format!("`{name}` has more than 32 characters"));
        }
        if self.own.iter().any(|own| own.name == name) {
            return self.outside(format!("`{name}` is declared twice"));
        }
        self.sign(":")?;
        let kind = match self.word()?.as_str() {
            "BOOL" => Type::Bool,
            "REAL" => Type::Real,
            "TIME" => Type::Time,
            "TON" => Type::Ton,
            "R_TRIG" => Type::Trigger,
            other => match self
                .units
                .iter()
                .position(|unit| unit.name == other && !unit.is_program)
            {
                Some(at) => Type::Block(at),
                None => {
                    self.next -= 1;
                    return self.outside(format!("the type {other} isn't in the subset"));
                }
            },
        };
        self.own.push(Variable { name, kind, section });
        self.sign(";")
    }

    fn statements(&mut self, ends: &[&str]) -> Read<Vec<Statement>> {
        let mut all = Vec::new();
        loop {
            match self.peek() {
                Token::Word(word) if ends.contains(&word.as_str()) => return Ok(all),
                Token::End => return self.outside(format!("{} is missing", ends.join(" or "))),
                _ => all.push(self.statement()?),
            }
        }
    }

    fn statement(&mut self) -> Read<Statement> {
        if self.is_word("IF") {
            return self.condition();
        }
        let name = self.word()?;
        let Some(at) = self.own.iter().position(|own| own.name == name) else {
            self.next -= 1;
            return self.outside(format!("`{name}` isn't declared"));
        };
        let Variable { kind, section, .. } = self.own[at];
        if self.is(&Token::Sign(":=")) {
            if section == Section::Input {
                return self.outside(format!("`{name}` is an input: only a caller sets it"));
            }
            let value = self.expression_of(kind)?;
            self.sign(";")?;
            return Ok(Statement::Assign(at, value));
        }
        self.sign("(")?;
        let (members, inputs) = self.members(kind);
        if members.is_empty() {
            return self.outside(format!("`{name}` can't be called"));
        }
        let mut given = Vec::new();
        while !self.is(&Token::Sign(")")) {
            if !given.is_empty() {
                self.sign(",")?;
            }
            let input = self.word()?;
            let place = members[..inputs].iter().position(|(own, _)| *own == input);
            let Some(place) = place else {
                self.next -= 1;
                return self.outside(format!("`{name}` has no input {input}"));
            };
            self.sign(":=")?;
            given.push((place, self.expression_of(members[place].1)?));
        }
        self.sign(";")?;
        Ok(Statement::Call(at, kind, given))
    }

    /// Variables of an instance, inputs first, and how many inputs.
    fn members(&self, kind: Type) -> (Vec<(String, Type)>, usize) {
        let named = |rows: &[(&str, Type)]| {
            rows.iter()
                .map(|(name, kind)| ((*name).to_owned(), *kind))
                .collect()
        };
        match kind {
            Type::Ton => (named(&TON.0), TON.1),
            Type::Trigger => (named(&TRIGGER.0), TRIGGER.1),
            Type::Block(at) => {
                let own = &self.units[at].variables;
                let inputs = own.iter().take_while(|own| own.section == Section::Input).count();
                (
                    own.iter().map(|own| (own.name.clone(), own.kind)).collect(),
                    inputs,
                )
            }
            Type::Bool | Type::Real | Type::Time => (Vec::new(), 0),
        }
    }

    fn condition(&mut self) -> Read<Statement> {
        let mut cases = Vec::new();
        loop {
            let when = self.expression_of(Type::Bool)?;
            if !self.is_word("THEN") {
                return self.outside("THEN is missing");
            }
            cases.push((when, self.statements(&["ELSIF", "ELSE", "END_IF"])?));
            if !self.is_word("ELSIF") {
                break;
            }
        }
        let otherwise = match self.is_word("ELSE") {
            true => self.statements(&["END_IF"])?,
            false => Vec::new(),
        };
        self.next += 1;
        self.sign(";")?;
        Ok(Statement::If(cases, otherwise))
    }

    fn expression_of(&mut self, wanted: Type) -> Read<Expression> {
        let at = self.tokens[self.next].1;
        let (expression, kind) = self.expression()?;
        if kind != wanted {
            return Err(Outside::new(at, format!("{kind:?} stands where {wanted:?} must")));
        }
        Ok(expression)
    }

    /// OR binds least, then AND, then comparisons, then NOT.
    fn expression(&mut self) -> Read<(Expression, Type)> {
        let mut left = self.conjunction()?;
        while self.is_word("OR") {
            let right = self.conjunction()?;
            self.both_bool(&left, &right)?;
            left = (Expression::Or(Box::new(left.0), Box::new(right.0)), Type::Bool);
        }
        Ok(left)
    }

    fn conjunction(&mut self) -> Read<(Expression, Type)> {
        let mut left = self.comparison()?;
        while self.is_word("AND") {
            let right = self.comparison()?;
            self.both_bool(&left, &right)?;
            left = (Expression::And(Box::new(left.0), Box::new(right.0)), Type::Bool);
        }
        Ok(left)
    }

    fn both_bool(&self, left: &(Expression, Type), right: &(Expression, Type)) -> Read<()> {
        match (left.1, right.1) {
            (Type::Bool, Type::Bool) => Ok(()),
            other => self.outside(format!("AND and OR join BOOL, not {other:?}")),
        }
    }

    fn comparison(&mut self) -> Read<(Expression, Type)> {
        let left = self.negation()?;
        for sign in ["<", "<=", ">", ">="] {
            if self.is(&Token::Sign(sign)) {
                let right = self.negation()?;
                if left.1 != right.1 || !matches!(left.1, Type::Real | Type::Time) {
                    return self.outside(format!("{:?} and {:?} can't be compared", left.1, right.1));
                }
                let compared = Expression::Compare(sign, Box::new(left.0), Box::new(right.0));
                return Ok((compared, Type::Bool));
            }
        }
        Ok(left)
    }

    fn negation(&mut self) -> Read<(Expression, Type)> {
        if self.is_word("NOT") {
            let (of, kind) = self.negation()?;
            return match kind {
                Type::Bool => Ok((Expression::Not(Box::new(of)), Type::Bool)),
                other => self.outside(format!("NOT of {other:?}")),
            };
        }
        if self.is(&Token::Sign("(")) {
            let inner = self.expression()?;
            self.sign(")")?;
            return Ok(inner);
        }
        let token = self.peek().clone();
        let found = match &token {
            Token::Real(value) => (Expression::Real(*value), Type::Real),
            Token::Time(ms) => (Expression::Time(*ms), Type::Time),
            Token::Word(word) if word == "TRUE" || word == "FALSE" => {
                (Expression::Bool(word == "TRUE"), Type::Bool)
            }
            Token::Word(word) => self.named(word)?,
            other => return self.outside(format!("{other:?} is no expression")),
        };
        self.next += 1;
        Ok(found)
    }

    fn named(&self, word: &str) -> Read<(Expression, Type)> {
        let (name, member) = word
            .split_once('.')
            .map_or((word, None), |(name, member)| (name, Some(member)));
        let Some(at) = self.own.iter().position(|own| own.name == name) else {
            return self.outside(format!("`{name}` isn't declared"));
        };
        let kind = self.own[at].kind;
        let Some(member) = member else {
            return Ok((Expression::Variable(at), kind));
        };
        let (members, _) = self.members(kind);
        match members.iter().position(|(own, _)| own == member) {
            Some(place) => Ok((Expression::Member(at, place), members[place].1)),
            None => self.outside(format!("`{name}` has no {member}")),
        }
    }
}
