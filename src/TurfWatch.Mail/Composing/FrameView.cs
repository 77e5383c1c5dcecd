namespace TurfWatch.Mail.Composing;

/// <summary>
/// What every message says around its own matter, already in the reader's words. The text part and the HTML part are
/// both written from one view, so they cannot tell different stories.
/// </summary>
internal sealed record FrameView
{
    public required string Subject { get; init; }

    public required string Preheader { get; init; }

    public required string Lawn { get; init; }

    public required string Place { get; init; }

    public required string Day { get; init; }

    /// <summary>The tag above the headline.</summary>
    public required string Verdict { get; init; }

    /// <summary>go, wait, stop or calm: the color of the head, which the words say too.</summary>
    public required string Tone { get; init; }

    public required string Headline { get; init; }

    public required IReadOnlyList<string> DataAlarms { get; init; }

    public required IReadOnlyList<string> Data { get; init; }

    public required string Zone { get; init; }

    public required string Why { get; init; }

    /// <summary>What the link to leave is called; empty in a letter to someone who is on no list.</summary>
    public string LeaveLabel { get; init; } = "Stop these messages";

    public required string UnsubscribeLink { get; init; }

    public required string OwnerAddress { get; init; }

    public required string OwnerLink { get; init; }

    public required string Sender { get; init; }

    public required string PostalAddress { get; init; }
}

/// <summary>All that a message says.</summary>
/// <param name="Frame">What is alike in all messages.</param>
internal abstract record MessageView(FrameView Frame)
{
    /// <summary>Name of the template of the message's own matter.</summary>
    public abstract string Matter { get; }
}

/// <summary>One finding. The weight is empty when it decides nothing.</summary>
internal sealed record FindingView(
    string Weight,
    string Text,
    string Evidence,
    string Threshold,
    string Source
);

/// <summary>One number.</summary>
internal sealed record FactView(string Label, string Value);
