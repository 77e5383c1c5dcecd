namespace TurfWatch.Mail.Composing;

/// <summary>The message that a window of the season opened, closes soon or closed.</summary>
internal sealed record AlertView(FrameView Frame) : MessageView(Frame)
{
    public override string Matter => "alert";

    public required IReadOnlyList<string> Steps { get; init; }

    public required IReadOnlyList<string> Amounts { get; init; }

    /// <summary>Links that write down what the message advises; empty when there are none to give.</summary>
    public required IReadOnlyList<LinkView> Offers { get; init; }

    public required TimelineView Timeline { get; init; }

    public required IReadOnlyList<FindingView> Reasons { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }

    public required IReadOnlyList<FactView> Facts { get; init; }
}
