namespace TurfWatch.Mail.Composing;

/// <summary>All that a message says, already in the reader's words. The text part and the HTML part are both written from it, so they cannot tell different stories.</summary>
internal sealed record MessageView
{
    public required string Subject { get; init; }

    public required string Preheader { get; init; }

    public required string Lawn { get; init; }

    public required string Place { get; init; }

    public required string Day { get; init; }

    public required string Verdict { get; init; }

    /// <summary>go, wait or stop: the colour of the verdict, which the words say too.</summary>
    public required string Tone { get; init; }

    public required string Headline { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }

    public required IReadOnlyList<ReasonView> Reasons { get; init; }

    /// <summary>Findings that decide nothing; they come after the hours.</summary>
    public required IReadOnlyList<ReasonView> Notes { get; init; }

    public required IReadOnlyList<HourView> Hours { get; init; }

    /// <summary>Unit of the hours' temperatures.</summary>
    public required string TemperatureUnit { get; init; }

    public required IReadOnlyList<FactView> Facts { get; init; }

    public required IReadOnlyList<string> DataAlarms { get; init; }

    public required IReadOnlyList<string> Data { get; init; }

    public required string Zone { get; init; }

    public required string Why { get; init; }

    public required string UnsubscribeLink { get; init; }

    public required string OwnerAddress { get; init; }

    public required string OwnerLink { get; init; }

    public required string Sender { get; init; }

    public required string PostalAddress { get; init; }
}

/// <summary>One ranked reason.</summary>
internal sealed record ReasonView(
    string Weight,
    string Text,
    string Evidence,
    string Threshold,
    string Source
);

/// <summary>One hour of the day's table.</summary>
internal sealed record HourView(
    string Hour,
    bool Ok,
    string Answer,
    string Wet,
    string Rain,
    string Temperature
);

/// <summary>One number of the day.</summary>
internal sealed record FactView(string Label, string Value);
