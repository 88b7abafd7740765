//! The front page: search, then the ways in.

use super::pieces::Link;
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Front {
    pub intro_html: String,
    pub complaints: Vec<Complaint>,
    pub sequences: Vec<Run>,
    /// Parts grouped by what they belong to or what kind they are.
    pub parts: Vec<Group>,
    pub hoses: Vec<Link>,
    pub readings: Vec<Link>,
    pub wiring: Vec<Link>,
    pub tasks: Vec<Link>,
    pub notes: Vec<Link>,
    pub card: Option<Link>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Complaint {
    pub link: Link,
    pub codes: Vec<String>,
    pub also_said: Vec<String>,
    /// Expected minutes to find the cause.
    pub minutes: u32,
}

/// One powered operation and the steps it can stop at.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Run {
    pub link: Link,
    pub steps: Vec<Stop>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Stop {
    pub number: u32,
    pub link: Link,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Group {
    pub name: String,
    pub links: Vec<Link>,
}
