using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Charts;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <summary>The pictures of charts for those who write no message: the same as in the digest, and kept with them.</summary>
public static class ChartPictures
{
    /// <summary>Width of the pictures in a page [px]; they have twice as many dots.</summary>
    public const int Width = ChartPainter.Width;

    /// <summary>Height likewise [px].</summary>
    public const int Height = ChartPainter.Height;

    /// <summary>The picture of a chart in a lawn's units; null when it holds no known value.</summary>
    public static ChartPicture? Of(Chart chart, Lawn lawn, LocalDate today) =>
        ChartStudio.Shared.Picture(chart, new(lawn.Units, lawn.Place.Zone, today));

    /// <summary>A picture that was drawn lately; null when it is not kept (any more).</summary>
    public static ChartPicture? Kept(string name) => ChartStudio.Shared.Kept(name);
}
