namespace TurfWatch.Mail.Composing;

/// <summary>The weekly digest.</summary>
internal sealed record DigestView(FrameView Frame) : MessageView(Frame)
{
    public override string Matter => "digest";

    public required IReadOnlyList<TaskView> Tasks { get; init; }

    /// <summary>Links that write down what the message advises; empty when there are none to give.</summary>
    public required IReadOnlyList<LinkView> Offers { get; init; }

    /// <summary>Cautions that hold for the whole week.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    public required TimelineView Timeline { get; init; }

    public required IReadOnlyList<ChartView> Charts { get; init; }

    public required WeekView Week { get; init; }

    public required IReadOnlyList<FactView> WeekThatWas { get; init; }

    public required IReadOnlyList<FindingView> Findings { get; init; }

    public required IReadOnlyList<FactView> OnRecord { get; init; }

    /// <summary>The sources of tasks and findings, each once, with the number by which they point to it.</summary>
    public required IReadOnlyList<string> Sources { get; init; }
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
/// <param name="InWords">The same in words.</param>
/// <param name="Picture">Address of the picture; empty when there is none.</param>
/// <param name="Width">Its width [px].</param>
internal sealed record ChartView(
    string Title,
    IReadOnlyList<string> InWords,
    string Picture,
    int Width
);

/// <summary>The week ahead; the units stand in the head of the table.</summary>
internal sealed record WeekView(
    string TemperatureUnit,
    string WaterUnit,
    string WindUnit,
    IReadOnlyList<WeekDayView> Days
);

/// <summary>One day of the week ahead.</summary>
/// <param name="Range">Low and high.</param>
/// <param name="Rain">Its amount; empty when none is foretold.</param>
internal sealed record WeekDayView(
    string Day,
    string Range,
    string RainChance,
    string Rain,
    string Wind,
    string WaterUse,
    string Note
);
