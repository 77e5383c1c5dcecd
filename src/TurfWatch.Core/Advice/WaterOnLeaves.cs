using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Tells what the leaves are wet from.</summary>
public static class WaterOnLeaves
{
    /// <summary>Note of water that came from a sprinkler or cannot be told.</summary>
    public const string Wet = "wet leaves";

    /// <summary>Below this, water on the leaves is a trace [mm]; judgement.</summary>
    public const double LightMm = 0.05;

    /// <summary>From here on dew is heavy [mm]; judgement: a night seldom gives more than half a millimetre.</summary>
    public const double HeavyMm = 0.2;

    private const double HundredthInchMm = 0.254;
    private const double TraceMm = 0.01;
    private const double FrostTraceMm = 0.005;
    private const double RainTraceMm = 0.2;

    /// <summary>The water on the leaves now, in words where the reader's unit tells too little; null when there is none to speak of or it is not known.</summary>
    public static Phrase? Told(Morning morning)
    {
        var mm = NowMm(morning);
        if (!(mm >= TraceMm))
        {
            return null;
        }

        var water = Quantity.WaterMm(mm);
        var dew = Cause(morning, morning.Ahead.Start) == "dew";
        return (mm < LightMm, Coarse(mm, morning), dew) switch
        {
            (true, _, _) => Phrase.Of($"a trace of water on the leaves now"),
            (_, true, true) => Phrase.Of($"{Weight(mm)} dew on the leaves now"),
            (_, true, false) => Phrase.Of($"a film of water on the leaves now"),
            _ => Phrase.Of($"{water} on the leaves now"),
        };
    }

    /// <summary>Dew as one of the day's numbers.</summary>
    /// <param name="morning">The morning.</param>
    /// <param name="mm">The dew [mm].</param>
    public static Phrase Dew(Morning morning, double mm) =>
        mm < LightMm ? Phrase.Of($"a trace")
        : !Coarse(mm, morning) ? Phrase.Of($"{Quantity.WaterMm(mm)}, {Weight(mm)}")
        : mm < HeavyMm ? Phrase.Of($"light, under a hundredth of an inch")
        : Phrase.Of($"heavy, about a hundredth of an inch");

    private static string Weight(double mm) => mm < HeavyMm ? "light" : "heavy";

    // Hundredths of an inch cannot tell it.
    private static bool Coarse(double mm, Morning morning) =>
        morning.Lawn.Units == UnitSystem.UsCustomary && mm < HundredthInchMm;

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
