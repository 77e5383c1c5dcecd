namespace TurfWatch.Host.Jobs;

/// <summary>Names of the sweeps, as they stand in logs and on the health page.</summary>
public static class JobNames
{
    public const string Fetch = "fetch";
    public const string Climate = "climate";
    public const string Morning = "morning";
    public const string Season = "season";
    public const string Deliver = "deliver";
    public const string Prune = "prune";
}
