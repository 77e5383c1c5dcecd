namespace TurfWatch.Host.Jobs;

/// <summary>How messages leave the outbox.</summary>
public sealed class DeliveryOptions
{
    public const string Section = "Delivery";

    /// <summary>Messages taken from the outbox at a time.</summary>
    public int Batch { get; set; } = 50;

    /// <summary>How long a taken message is reserved before its sending begins.</summary>
    public TimeSpan Lease { get; set; } = TimeSpan.FromMinutes(2);

    /// <summary>How long a message may be in its SMTP transaction; a relay may take 10 minutes for its last answer alone.</summary>
    public TimeSpan SendingLease { get; set; } = TimeSpan.FromMinutes(20);

    /// <summary>SMTP transactions at the same time.</summary>
    public int Connections { get; set; } = 2;

    /// <summary>Messages a second, all together; 0 means no limit.</summary>
    public double PerSecond { get; set; } = 10;

    /// <summary>Messages a second to one mail domain; 0 means no limit.</summary>
    public double PerDomainPerSecond { get; set; } = 5;

    /// <summary>A message taken so often without an end is given up.</summary>
    public int MaxClaims { get; set; } = 12;

    /// <summary>Longest wait before the second try; it doubles with each further one.</summary>
    public TimeSpan BackoffBase { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>Longest wait between two tries.</summary>
    public TimeSpan BackoffCap { get; set; } = TimeSpan.FromMinutes(30);

    /// <summary>How long a relay that cannot be reached is left alone; it doubles each time, up to ten times this.</summary>
    public TimeSpan RelayPause { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>How long transactions under way may go on when the service is told to stop.</summary>
    public TimeSpan StopGrace { get; set; } = TimeSpan.FromSeconds(20);

    public IEnumerable<string> Faults()
    {
        if (Batch is < 1 or > 1000)
        {
            yield return $"Delivery:Batch is {Batch}; write a number from 1 to 1000.";
        }

        if (Lease < TimeSpan.FromSeconds(30) || Lease > TimeSpan.FromHours(1))
        {
            yield return $"Delivery:Lease is {Lease}; write a time from 00:00:30 to 01:00:00.";
        }

        if (SendingLease < TimeSpan.FromMinutes(15) || SendingLease > TimeSpan.FromHours(2))
        {
            yield return $"Delivery:SendingLease is {SendingLease}; write a time from 00:15:00 to 02:00:00.";
        }

        if (Connections is < 1 or > 20)
        {
            yield return $"Delivery:Connections is {Connections}; write a number from 1 to 20.";
        }

        if (PerSecond is not (>= 0 and <= 1000))
        {
            yield return $"Delivery:PerSecond is {PerSecond}; write a number from 0 (no limit) to 1000.";
        }

        if (PerDomainPerSecond is not (>= 0 and <= 1000))
        {
            yield return $"Delivery:PerDomainPerSecond is {PerDomainPerSecond}; write a number from 0 (no limit) to 1000.";
        }

        if (MaxClaims is < 2 or > 100)
        {
            yield return $"Delivery:MaxClaims is {MaxClaims}; write a number from 2 to 100.";
        }

        if (BackoffBase < TimeSpan.FromSeconds(1) || BackoffBase > BackoffCap)
        {
            yield return $"Delivery:BackoffBase is {BackoffBase}; write a time from 00:00:01 to Delivery:BackoffCap ({BackoffCap}).";
        }

        if (BackoffCap > TimeSpan.FromHours(6))
        {
            yield return $"Delivery:BackoffCap is {BackoffCap}; write a time up to 06:00:00.";
        }

        if (RelayPause < TimeSpan.FromSeconds(1) || RelayPause > TimeSpan.FromMinutes(30))
        {
            yield return $"Delivery:RelayPause is {RelayPause}; write a time from 00:00:01 to 00:30:00.";
        }

        if (StopGrace < TimeSpan.Zero || StopGrace > TimeSpan.FromMinutes(2))
        {
            yield return $"Delivery:StopGrace is {StopGrace}; write a time from 00:00:00 to 00:02:00.";
        }
    }
}
