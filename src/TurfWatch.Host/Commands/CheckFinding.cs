namespace TurfWatch.Host.Commands;

/// <summary>How a thing is that was looked at.</summary>
internal enum CheckState
{
    Well,
    Mind,
    Wrong,
}

/// <summary>The things that are looked at. Each has an entry of its name in docs/runbook.md.</summary>
internal enum CheckId
{
    Configuration,
    TimeZones,
    Data,
    Disk,
    DatabaseClock,
    Connections,
    Outbox,
    OutboxHeld,
    OutboxOverdue,
    OutboxDead,
    OutboxUnknown,
    Relay,
    Sender,
    Signing,
    DnsSpf,
    DnsPtr,
    DnsDkim,
    DnsDmarc,
    DnsMx,
    PublicPages,
    Inbox,
    Weather,
    Clock,
}

/// <summary>One thing that was looked at.</summary>
internal sealed record CheckFinding(CheckId Id, CheckState State, string Says)
{
    /// <summary>The id as it is written.</summary>
    public string Name => Words.Kebab(Id.ToString());
}
