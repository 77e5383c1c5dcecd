namespace TurfWatch.Store;

/// <summary>
/// The SQL in which the kinds of database differ. SQLite has one writer at a time, so what a transaction read stays true until
/// it ends; PostgreSQL has many, so what must stay true is locked.
/// </summary>
/// <param name="LeaseNow">Now by the clock of leases [ms since 1970]; it may name <c>@now</c>, the program's.</param>
/// <param name="ForUpdate">After a SELECT: nobody else changes these rows, or selects them so, until the transaction ends.</param>
/// <param name="ForShare">After a SELECT: nobody changes these rows until the transaction ends.</param>
/// <param name="SkipLocked">After a SELECT: as <paramref name="ForUpdate"/>, leaving out rows that another transaction holds.</param>
/// <param name="TakeSweep">A query: TRUE when no other transaction sweeps now; until this one ends none does.</param>
/// <param name="TakeKeys">A statement: until this transaction ends, no other changes which link keys are on record.</param>
internal sealed record Dialect(
    string LeaseNow,
    string ForUpdate,
    string ForShare,
    string SkipLocked,
    string TakeSweep,
    string TakeKeys
);
