namespace TurfWatch.Mail.Composing;

/// <summary>The weekly digest.</summary>
internal sealed record DigestView(FrameView Frame) : MessageView(Frame)
{
    public override string Matter => "digest";

    public required IReadOnlyList<TaskView> Tasks { get; init; }

    /// <summary>Cautions that hold for the whole week.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    public required TimelineView Timeline { get; init; }

    public required IReadOnlyList<ChartView> Charts { get; init; }

    public required WeekView Week { get; init; }

    public required IReadOnlyList<FactView> WeekThatWas { get; init; }

    public required IReadOnlyList<FindingView> Findings { get; init; }

    public required IReadOnlyList<FactView> OnRecord { get; init; }
}

/// <summary>Something to do this week.</summary>
internal sealed record TaskView(
    int Number,
    string Title,
    IReadOnlyList<string> Steps,
    IReadOnlyList<string> Amounts,
    FindingView Why,
    IReadOnlyList<string> Cautions
);

/// <summary>A chart with its text twin.</summary>
internal sealed record ChartView(string Id, string Title, IReadOnlyList<string> InWords);

/// <summary>The week ahead; the units stand in the head of the table.</summary>
internal sealed record WeekView(
    string TemperatureUnit,
    string WaterUnit,
    string WindUnit,
    IReadOnlyList<WeekDayView> Days
);

/// <summary>One day of the week ahead.</summary>
internal sealed record WeekDayView(
    string Day,
    string Low,
    string High,
    string RainChance,
    string Rain,
    string Wind,
    string WaterUse,
    string Note
);
