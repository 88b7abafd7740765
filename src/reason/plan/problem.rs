//! The question a plan answers: causes, checks, and what stands in the way of a check. Inert data, whole numbers only.
//!
//! Lists refer to each other by position. Ids matter only for ties: the plan never depends on the order of a list.

/// One reason for the complaint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// Unique among causes.
    pub id: String,
    /// Relative likelihood; any scale, not normalised.
    pub weight: u128,
    /// Position in [`Problem::repairs`].
    pub repair: usize,
    /// The search may end on this cause although "none of these" is still possible.
    pub by_elimination: bool,
}

/// What ends the search; causes may share one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repair {
    /// Unique among repairs.
    pub id: String,
    /// How long it takes.
    pub seconds: u64,
}

/// Preparation that several checks may share; paid once on a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Access {
    /// Unique among accesses.
    pub id: String,
    /// How long it takes.
    pub seconds: u64,
    /// Accesses that must be open before, by position.
    pub needs: Vec<usize>,
}

/// A task that makes the machine safe; paid once on a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Unique among make-safe tasks.
    pub id: String,
    /// How long it takes.
    pub seconds: u64,
}

/// What an answer leads to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Then {
    /// The causes it leaves possible, by position. A cause left by several answers is one the check is not sharp for.
    Leaves(Vec<usize>),
    /// Another fault, by a number of the caller's choosing.
    Exit(usize),
}

/// One answer of a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// Unique within the check.
    pub label: String,
    /// Where it leads.
    pub then: Then,
    /// A machine with none of the listed causes gives this answer.
    pub none: bool,
    /// How often, per million, a machine that should give this answer gives another one instead.
    pub wrong_per_million: u32,
}

/// One observation or measurement.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Check {
    /// Unique among checks.
    pub id: String,
    /// How long it takes, without access, make-safe and change of state.
    pub seconds: u64,
    /// Accesses that must be open, by position.
    pub accesses: Vec<usize>,
    /// Tasks that must have been done, by position.
    pub make_safe: Vec<usize>,
    /// State of the machine it needs, by position; none: any state.
    pub state: Option<usize>,
    /// Checks that must have been taken before on the same path, by position.
    pub after: Vec<usize>,
    /// Always taken, before everything that is not.
    pub first: bool,
    /// The answers.
    pub outcomes: Vec<Outcome>,
    /// A swap that also cures: the repair it performs, and the answer that says it cured.
    pub cures: Option<(usize, usize)>,
}

/// The machine's states and how long it takes from one to another.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct States {
    /// Seconds from state (row) to state (column); square.
    pub change: Vec<Vec<u64>>,
    /// The state the machine arrives in.
    pub start: usize,
}

/// One fault to be planned.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// The causes; exactly one is present, or none of them.
    pub causes: Vec<Cause>,
    /// What the causes lead to.
    pub repairs: Vec<Repair>,
    /// Weight of "none of these"; absent: the listed causes are all there are.
    pub none_of_these: Option<u128>,
    /// The checks.
    pub checks: Vec<Check>,
    /// The accesses.
    pub accesses: Vec<Access>,
    /// The make-safe tasks.
    pub tasks: Vec<Task>,
    /// The machine's states; empty when no check needs one.
    pub states: States,
}

/// Why a problem cannot be planned. Positions refer to the lists of [`Problem`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// There is nothing to find.
    #[error("the fault has no cause")]
    NoCause,
    /// Two entries of one list share an id.
    #[error("the id `{0}` is used twice")]
    DuplicateId(String),
    /// A position points outside its list.
    #[error("`{owner}` refers to {what} number {position}, which does not exist")]
    Dangling {
        /// Id of the entry that refers.
        owner: String,
        /// Kind of the entry it refers to.
        what: &'static str,
        /// The position.
        position: usize,
    },
    /// No answer of a check leaves the cause.
    #[error("no answer of check `{check}` leaves `{cause}`")]
    CauseInNoAnswer {
        /// The check.
        check: String,
        /// The cause, or "none of these".
        cause: String,
    },
    /// Entries that wait for each other.
    #[error("{what} `{id}` waits for itself")]
    Circle {
        /// "check" or "access".
        what: &'static str,
        /// One of the circle.
        id: String,
    },
    /// A swap whose answer "cured" leaves a cause that the swap does not cure.
    #[error("check `{0}` says it cures, but its answer leaves another cause")]
    CureLeavesOther(String),
    /// More than the exact arithmetic or the sets can hold.
    #[error("too large to plan: {0}")]
    TooLarge(&'static str),
    /// A bare instance that cannot be read.
    #[error("{0}")]
    Instance(String),
}
