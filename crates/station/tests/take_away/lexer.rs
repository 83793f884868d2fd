//! Words of the subset of Structured Text that a program to take away is written in.

/// Where something stands in a text, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Place {
    pub(crate) line: usize,
    pub(crate) column: usize,
}

/// What isn't in the subset, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Outside {
    pub(crate) at: Place,
    pub(crate) what: String,
}

impl Outside {
    pub(crate) fn new(at: Place, what: impl Into<String>) -> Self {
        Self {
            at,
            what: what.into(),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Token {
    /// A keyword or a name, in capitals: the language doesn't tell them apart.
    Word(String),
    Real(f32),
    /// Milliseconds.
    Time(i64),
    Sign(&'static str),
    End,
}

/// Signs, longer ones first.
const SIGNS: [&str; 12] = [":=", "<=", ">=", "<>", "<", ">", "=", ":", ";", ",", "(", ")"];

pub(crate) fn tokens(text: &str) -> Result<Vec<(Token, Place)>, Outside> {
    let mut lexer = Lexer {
        chars: text.chars().collect(),
        next: 0,
        at: Place { line: 1, column: 1 },
    };
    let mut found = Vec::new();
    loop {
        lexer.skip()?;
        let at = lexer.at;
        let token = lexer.token()?;
        let is_last = token == Token::End;
        found.push((token, at));
        if is_last {
            return Ok(found);
        }
    }
}

struct Lexer {
    chars: Vec<char>,
    next: usize,
    at: Place,
}

impl Lexer {
    fn peek(&self, ahead: usize) -> char {
        self.chars.get(self.next + ahead).copied().unwrap_or('\0')
    }

    fn step(&mut self) -> char {
        let c = self.peek(0);
        self.next += 1;
        if c == '\n' {
            self.at = Place {
                line: self.at.line + 1,
                column: 1,
            };
        } else {
            self.at.column += 1;
        }
        c
    }

    fn skip_chars(&mut self, count: usize) {
        for _ in 0..count {
            self.step();
        }
    }

    /// Blanks and comments.
    fn skip(&mut self) -> Result<(), Outside> {
        loop {
            if self.peek(0).is_ascii_whitespace() {
                self.step();
            } else if self.peek(0) == '(' && self.peek(1) == '*' {
                let begin = self.at;
                self.skip_chars(2);
                while !(self.peek(0) == '*' && self.peek(1) == ')') {
                    if self.next >= self.chars.len() {
                        return Err(Outside::new(begin, "a comment has no end"));
                    }
                    if self.peek(0) == '(' && self.peek(1) == '*' {
                        return Err(Outside::new(self.at, "a comment in a comment"));
                    }
                    self.step();
                }
                self.skip_chars(2);
            } else {
                return Ok(());
            }
        }
    }

    fn token(&mut self) -> Result<Token, Outside> {
        let at = self.at;
        if self.next >= self.chars.len() {
            return Ok(Token::End);
        }
        let first = self.peek(0);
        if (first == 'T' || first == 't') && self.peek(1) == '#' {
            self.skip_chars(2);
            return self.time(at);
        }
        if first.is_ascii_alphabetic() {
            let word = self.take(|c| c.is_ascii_alphanumeric() || c == '_');
            if word.ends_with('_') || word.contains("__") {
                return Err(Outside::new(
                    at,
                    format!("`{word}` is no name: a name has single underscores between its parts"),
                ));
            }
            if self.peek(0) == '.' {
                self.step();
                let field = self.take(|c| c.is_ascii_alphanumeric() || c == '_');
                return Ok(Token::Word(format!("{word}.{field}").to_ascii_uppercase()));
            }
            return Ok(Token::Word(word.to_ascii_uppercase()));
        }
        if first.is_ascii_digit() || first == '-' && self.peek(1).is_ascii_digit() {
            let mut number = String::from(self.step());
            number += &self.take(|c| c.is_ascii_digit() || c == '.');
            // Whole numbers would be an INT, which isn't in the subset.
            return match number.parse() {
                Ok(value) if number.contains('.') && !number.ends_with('.') => Ok(Token::Real(value)),
                _ => Err(Outside::new(at, format!("`{number}` is no REAL"))),
            };
        }
        for sign in SIGNS {
            if sign.chars().enumerate().all(|(ahead, c)| self.peek(ahead) == c) {
                for _ in 0..sign.len() {
                    self.step();
                }
                return Ok(Token::Sign(sign));
            }
        }
        Err(Outside::new(at, format!("`{first}` isn't in the subset")))
    }

    fn take(&mut self, keeps: impl Fn(char) -> bool) -> String {
        let mut taken = String::new();
        while self.next < self.chars.len() && keeps(self.peek(0)) {
            taken.push(self.step());
        }
        taken
    }

    /// `11h40m` behind `T#`: units fall.
    fn time(&mut self, at: Place) -> Result<Token, Outside> {
        const UNITS: [(&str, i64); 5] = [
            ("d", 86_400_000),
            ("h", 3_600_000),
            ("m", 60_000),
            ("s", 1000),
            ("ms", 1),
        ];
        let mut ms = 0;
        let mut last = 0;
        loop {
            let number = self.take(|c| c.is_ascii_digit());
            let unit = self.take(|c| c.is_ascii_alphabetic()).to_ascii_lowercase();
            let known = UNITS.iter().position(|(own, _)| *own == unit);
            match (number.parse::<i64>(), known) {
                (Ok(number), Some(rank)) if rank >= last => {
                    ms += number * UNITS[rank].1;
                    last = rank + 1;
                }
                _ => return Err(Outside::new(at, "this is no TIME")),
            }
            if !self.peek(0).is_ascii_digit() {
                return Ok(Token::Time(ms));
            }
        }
    }
}
