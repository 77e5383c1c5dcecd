using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <summary>Where the links of a notice lead, and how long they are good.</summary>
public static class LinkPaths
{
    /// <summary>Path under the public base address, with a slash at its end; the token follows.</summary>
    public static string Of(LinkPurpose purpose) =>
        purpose switch
        {
            LinkPurpose.Confirm => "join/",
            LinkPurpose.LawnPage => "lawn/",
            LinkPurpose.Undo => "undo/",
            LinkPurpose.Rejoin => "rejoin/",
            LinkPurpose.WriteDown => "done/",
            _ => throw new ArgumentOutOfRangeException(nameof(purpose), purpose, "give it a path"),
        };

    /// <summary>How old a message may be that is answered with more than: stop.</summary>
    public static Duration Answers { get; } = Duration.FromDays(90);

    /// <summary>How long a link to a lawn's page opens everything; after that, the page alone.</summary>
    public static Duration Fresh { get; } = Duration.FromHours(2);

    /// <summary>How long after the notice was written its link is good.</summary>
    public static Duration Lifetime(LinkPurpose purpose) =>
        purpose switch
        {
            LinkPurpose.Confirm => Duration.FromHours(72),
            // It opens what is held of a person, and messages get forwarded.
            LinkPurpose.LawnPage => Duration.FromDays(7),
            LinkPurpose.Undo => Duration.FromDays(14),
            LinkPurpose.Rejoin => Duration.FromDays(30),
            // The work of a week, done the week after: older than that, nobody knows the day any more.
            LinkPurpose.WriteDown => Duration.FromDays(14),
            _ => throw new ArgumentOutOfRangeException(nameof(purpose), purpose, "give it a time"),
        };
}
