namespace TurfWatch.Mail.Composing;

/// <summary>The morning message.</summary>
internal sealed record MorningView(FrameView Frame) : MessageView(Frame)
{
    public override string Matter => "morning";

    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>Findings that decide, the weightiest first.</summary>
    public required IReadOnlyList<FindingView> Reasons { get; init; }

    /// <summary>Findings that decide nothing; they come after the hours.</summary>
    public required IReadOnlyList<FindingView> Notes { get; init; }

    public required IReadOnlyList<HourView> Hours { get; init; }

    /// <summary>Links that write down what the message advises; empty when there are none to give.</summary>
    public required IReadOnlyList<LinkView> Offers { get; init; }

    /// <summary>Unit of the hours' temperatures.</summary>
    public required string TemperatureUnit { get; init; }

    public required IReadOnlyList<FactView> Facts { get; init; }
}

/// <summary>One hour of the day's table.</summary>
internal sealed record HourView(
    string Hour,
    bool Ok,
    string Answer,
    string Wet,
    string Rain,
    string Temperature
);
