namespace TurfWatch.Mail.Composing;

/// <summary>A short letter of the service about itself.</summary>
internal sealed record NoticeView(FrameView Frame) : MessageView(Frame)
{
    public override string Matter => "notice";

    public required IReadOnlyList<string> Paragraphs { get; init; }

    public required IReadOnlyList<LinkView> Links { get; init; }
}

/// <summary>One link: what it does, and where it leads.</summary>
internal sealed record LinkView(string Label, string Address);
