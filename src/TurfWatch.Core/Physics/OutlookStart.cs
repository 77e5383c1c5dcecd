using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>The soil at the beginning of today and the forecast's hours, from which every course goes on.</summary>
internal sealed class OutlookStart
{
    // Without hours up to this many days before today the state says nothing of it.
    private const int MostMissingDays = 2;
    private const int MostForecastDays = 14;

    private readonly SiteDescription _site;
    private readonly DateTimeZone _zone;
    private readonly LocalDate _today;
    private readonly SiteKernelState _state = new();
    private readonly CanopyState _canopy;

    // Hours of the forecast's days; where each day begins among them; hours of lead, negative where not forecast.
    private readonly SiteHour[] _hours;
    private readonly int[] _dayAt;
    private readonly double[] _leadHours;

    private OutlookStart(
        SiteDescription site,
        DateTimeZone zone,
        LocalDate today,
        CanopyState canopy,
        SiteHour[] hours,
        int[] dayAt,
        double[] leadHours
    ) =>
        (_site, _zone, _today, _canopy, _hours, _dayAt, _leadHours) = (
            site,
            zone,
            today,
            canopy,
            hours,
            dayAt,
            leadHours
        );

    /// <summary>Whole days from today on that the weather tells.</summary>
    public int ForecastDays => _dayAt.Length - 1;

    /// <summary>Runs from the state to the beginning of today; null when the weather does not reach so far.</summary>
    public static OutlookStart? Make(
        SiteDescription site,
        SurfaceClass surface,
        DateTimeZone zone,
        LocalDate today,
        SiteState state,
        WeatherSeries weather
    )
    {
        if (
            !SiteModel.CanGoOn(state, weather)
            || weather.LastHourEnd < zone.AtStartOfDay(today.PlusDays(-MostMissingDays)).ToInstant()
        )
        {
            return null;
        }

        var hours = SiteForcing.Make(site, weather);
        var toTenMetres =
            Fao56.WindAt2mMS(1, weather.WindHeightM) / Fao56.WindAt2mMS(1, DailyRun.WindHeightM);
        for (var i = 0; i < hours.Length; i++)
        {
            hours[i] = hours[i] with { WindMS = hours[i].WindMS * toTenMetres };
        }

        var from = Math.Clamp(
            weather.IndexOf(state.ValidAt + Duration.FromHours(1)),
            0,
            weather.Count
        );
        var dayAt = new List<int>
        {
            Math.Clamp(LocalDays.FirstHour(weather.FirstHourEnd, zone, today), from, hours.Length),
        };
        if (HasGap(hours.AsSpan(from, dayAt[0] - from)))
        {
            return null;
        }

        for (var d = 1; d <= MostForecastDays; d++)
        {
            var end = LocalDays.FirstHour(weather.FirstHourEnd, zone, today.PlusDays(d));
            if (end > hours.Length || !AllUsable(hours.AsSpan(dayAt[^1]..Math.Max(dayAt[^1], end))))
            {
                break;
            }

            dayAt.Add(Math.Max(dayAt[^1], end));
        }

        var start = new OutlookStart(
            site,
            zone,
            today,
            surface.Canopy,
            hours[dayAt[0]..dayAt[^1]],
            [.. dayAt.Select(a => a - dayAt[0])],
            Leads(weather, dayAt[0], dayAt[^1])
        );
        var run = new DailyRun(site, surface);
        run.Load(SiteRunner.StateOf(state), surface.Canopy);
        run.Skip(hours.AsSpan(from, dayAt[0] - from));
        start._state.CopyFrom(run.State);
        return start;
    }

    /// <summary>The deviate of a course: middles of equal shares of the normal distribution, in an order that has nothing to do with the years'.</summary>
    public static double Deviate(int k, int courses)
    {
        // A step of about 0.38 of the courses that has no divisor in common with them visits each once.
        var step = Math.Max(1, (int)Math.Round(0.382 * courses));
        while (Divisor(step, courses) > 1)
        {
            step++;
        }

        return NormalQuantile.Of(((k * step % courses) + 0.5) / courses);
    }

    /// <summary>One course: the forecast, warmer by the deviate times its error, then a past year's days.</summary>
    /// <remarks>The error of the forecast's temperature is that of the morning's ensemble: 1.1 K on day 1, growing as the root of 1 + lead/48 h.</remarks>
    public SiteDays Run(DailyRun run, IReadOnlyList<ClimateDay> pastYear, double deviate)
    {
        run.Load(_state, _canopy);
        var weather = HourlyFromDaily.Make(_site.LatitudeDeg, _site.LongitudeDeg, _zone, pastYear);
        var end = pastYear.Count > 0 ? pastYear[^1].Date : _today.PlusDays(ForecastDays);
        var days = SiteDays.Unknown(_today, Math.Max(1, Period.DaysBetween(_today, end)));
        for (var d = 0; d < Math.Min(ForecastDays, days.Count); d++)
        {
            var hours = _hours[_dayAt[d].._dayAt[d + 1]];
            for (var h = 0; h < hours.Length; h++)
            {
                hours[h] = Warm(hours[h], deviate, _leadHours[_dayAt[d] + h]);
            }

            run.Day(hours, days, d);
        }

        var made = SiteForcing.Make(_site, weather).AsSpan();
        for (var d = ForecastDays; d < days.Count; d++)
        {
            var from = LocalDays.FirstHour(weather.FirstHourEnd, _zone, days.Date(d));
            var next = LocalDays.FirstHour(weather.FirstHourEnd, _zone, days.Date(d + 1));
            if (from >= 0 && next <= made.Length)
            {
                run.Day(made[from..next], days, d);
            }
        }

        return days;
    }

    private static SiteHour Warm(in SiteHour hour, double deviate, double leadHours)
    {
        if (leadHours < 0)
        {
            return hour;
        }

        // The humidity stays.
        var air =
            hour.AirC + (deviate * SiteEnsemble.DayOneErrorK * SiteEnsemble.Growth(leadHours));
        return hour with
        {
            AirC = air,
            VapourHPa =
                hour.VapourHPa / VapourCurve.Of(hour.AirC, out _) * VapourCurve.Of(air, out _),
        };
    }

    private static double[] Leads(WeatherSeries weather, int from, int end)
    {
        var leads = new double[end - from];
        var lead = -1;
        for (var i = from; i < end; i++)
        {
            lead =
                lead >= 0 ? lead + 1
                : weather.Origins[i].Kind == HourKind.Forecast ? 0
                : -1;
            leads[i - from] = lead;
        }

        return leads;
    }

    private static bool AllUsable(ReadOnlySpan<SiteHour> hours)
    {
        foreach (ref readonly var hour in hours)
        {
            if (!hour.Usable)
            {
                return false;
            }
        }

        return true;
    }

    private static bool HasGap(ReadOnlySpan<SiteHour> hours)
    {
        var gap = 0;
        foreach (ref readonly var hour in hours)
        {
            gap = hour.Usable ? 0 : gap + 1;
            if (gap > SiteModel.LongestGapHours)
            {
                return true;
            }
        }

        return false;
    }

    private static int Divisor(int a, int b) => b == 0 ? a : Divisor(b, a % b);
}
