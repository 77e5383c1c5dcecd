using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Tells what the leaves are wet from.</summary>
public static class WaterOnLeaves
{
    /// <summary>Note of water that came from a sprinkler or cannot be told.</summary>
    public const string Wet = "wet leaves";

    private const double HundredthInchMm = 0.254;
    private const double LeastMetricMm = 0.05;
    private const double TraceMm = 0.01;
    private const double FrostTraceMm = 0.005;
    private const double RainTraceMm = 0.2;

    /// <summary>
    /// An amount of water on leaves as it is told: what the reader's unit would show as next to nothing is "a trace".
    /// </summary>
    /// <param name="mm">The amount [mm].</param>
    /// <param name="units">The reader's units.</param>
    /// <returns>A <see cref="Quantity"/> or the words, to be put into a phrase.</returns>
    public static object Told(double mm, UnitSystem units) =>
        mm > 0 && mm < (units == UnitSystem.UsCustomary ? HundredthInchMm : LeastMetricMm)
            ? "a trace"
            : Quantity.WaterMm(mm);

    /// <summary>Water on the leaves at the present, frost included [mm]; NaN when unknown.</summary>
    public static double NowMm(Morning morning) =>
        Index(morning, morning.Ahead.Start) is { } i
            ? morning.Site.LeafWaterMm[i] + morning.Site.FrostMm[i]
            : double.NaN;

    /// <summary>A word for the table: thaw (frost that melts), rain, dew, or wet leaves when it came from a sprinkler or cannot be told.</summary>
    public static string Cause(Morning morning, Instant at)
    {
        if (Index(morning, at) is not { } i)
        {
            return Wet;
        }

        var site = morning.Site;
        if (site.FrostMm[i] > FrostTraceMm)
        {
            return "thaw";
        }

        var dew = site.DewMm[i];
        var other = site.LeafWaterMm[i] - dew;
        if (other > Math.Max(dew, TraceMm))
        {
            return RainBefore(site, i) >= RainTraceMm ? "rain" : Wet;
        }

        return "dew";
    }

    /// <summary>What wets the leaves at the present, to begin a sentence with.</summary>
    public static string CauseInWords(Morning morning)
    {
        var at = morning.Ahead.Start;
        switch (Cause(morning, at))
        {
            case "thaw":
                return "Frost, then melt water";
            case "rain":
                return "Rain on the leaves";
            case Wet:
                return "Water on the leaves";
        }

        var site = morning.Site;
        var i = Index(morning, at)!.Value;
        if (site.LeafWaterMm[i] < TraceMm)
        {
            return "Perhaps a little dew";
        }

        return site.LeafWaterMm[i] - site.DewMm[i] > TraceMm && RainBefore(site, i) >= RainTraceMm
            ? "Dew on top of rain"
            : "Dew";
    }

    private static double RainBefore(SiteConditions site, int index)
    {
        var rain = site.Weather[WeatherColumn.PrecipitationMm];
        double sum = 0;
        for (var i = Math.Max(0, index - 11); i <= index; i++)
        {
            sum += double.IsNaN(rain[i]) ? 0 : rain[i];
        }

        return sum;
    }

    // The end of the hour that is nearest.
    private static int? Index(Morning morning, Instant at)
    {
        var site = morning.Site;
        var i = site.IndexOf(at - Duration.FromMinutes(30));
        return i >= 0 && i < site.Count && !double.IsNaN(site.LeafWaterMm[i]) ? i : null;
    }
}
