namespace TurfWatch.Core.Physics;

/// <summary>
/// A small ensemble of likely errors: the same kernel run over weather that is a little warmer, moister, calmer or
/// cloudier than told, and over leaves that hold a little more or less water. Deterministic: the same input gives
/// the same chances.
/// </summary>
/// <remarks>
/// Each member keeps its signs, as forecast errors keep theirs through a night; members come in opposite
/// pairs, so that their mean is the central run's. Forecast errors of day 1: temperature 1.1 K, humidity 6 %; they grow
/// with the square root of the lead time. Wind, cloud and measured hours: judgement, no source.
/// </remarks>
internal static class SiteEnsemble
{
    /// <summary>Members beside the central run; even, and as many as fill the lanes.</summary>
    public const int Members = 12;

    /// <summary>Hours before now from which members run.</summary>
    public const int PastHours = 72;

    public const double LeastRainMm = 0.254;

    /// <summary>Error of a forecast temperature on the first day [K].</summary>
    public const double DayOneErrorK = 1.1;

    private static readonly double[][] Draws = MakeDraws();

    /// <summary>Adds the members to what the central run has put in.</summary>
    /// <param name="surface">The surface.</param>
    /// <param name="elevationM">Metres above sea level.</param>
    /// <param name="windHeightM">Height of the wind [m].</param>
    /// <param name="hours">All hours.</param>
    /// <param name="start">State at the start of hour <paramref name="from"/>.</param>
    /// <param name="from">First hour that members run.</param>
    /// <param name="nowIndex">First hour that is forecast.</param>
    /// <param name="wetChance">1 where the central run is wet at the hour's end, else 0; replaced by the share of all members that are.</param>
    /// <param name="soilSpread">Receives the standard deviation of the temperature at 10 cm over members [°C].</param>
    public static void Run(
        SurfaceParameters surface,
        double elevationM,
        double windHeightM,
        ReadOnlySpan<SiteHour> hours,
        SiteKernelState start,
        int from,
        int nowIndex,
        Span<double> wetChance,
        Span<double> soilSpread
    )
    {
        var sum = new double[hours.Length];
        var squares = new double[hours.Length];
        var wet = new double[hours.Length];
        var kernels = new SiteKernel[SideBySide.Count];
        var disturbed = new SiteHour[SideBySide.Count];
        for (var first = 0; first < Members; first += SideBySide.Count)
        {
            for (var lane = 0; lane < SideBySide.Count; lane++)
            {
                kernels[lane] = new(
                    surface with
                    {
                        LeafStoreMm = surface.LeafStoreMm * Math.Exp(0.5 * Draws[first + lane][4]),
                    },
                    elevationM,
                    windHeightM
                );
                kernels[lane].Load(start);
            }

            for (var i = from; i < hours.Length; i++)
            {
                if (!hours[i].Usable)
                {
                    continue;
                }

                Disturb(hours[i], first, i - nowIndex, disturbed);
                SiteKernel.Step(kernels, disturbed);
                foreach (var kernel in kernels)
                {
                    wet[i] += kernel.WetAtEnd ? 1 : 0;
                    var soil = SoilGrid.TenCm.Of(kernel.State.SoilC);
                    sum[i] += soil;
                    squares[i] += soil * soil;
                }
            }
        }

        var drawn = false;
        for (var i = from; i < hours.Length; i++)
        {
            // From the first rain on that was drawn, the central run, on which all of it falls, is no member like the others.
            drawn |= i >= nowIndex && hours[i].RainChance is > 0 and < 1;
            wetChance[i] = drawn ? wet[i] / Members : (wetChance[i] + wet[i]) / (Members + 1);
            var mean = sum[i] / Members;
            soilSpread[i] = Math.Sqrt(Math.Max(0, (squares[i] / Members) - (mean * mean)));
        }
    }

    /// <summary>Rain of a member [mm]: it falls on as many members as its chance says, and on those all the more.</summary>
    /// <remarks>
    /// A member's rank holds for a day, so that showers of neighbouring hours fall on the same members; another day it is
    /// another. The amount told is the mean over rain and no rain; a chance of rain is one of at least 0.01 in (0.254 mm), as the
    /// US weather service defines it, so that much falls at least.
    /// </remarks>
    internal static double RainOf(int member, int day, double meanMm, double chance)
    {
        var rank = (((member * 5) + (day * 7)) % Members + 0.5) / Members;
        return rank < chance ? Math.Max(LeastRainMm, meanMm / chance) : 0;
    }

    /// <summary>How much larger the forecast's error is after these hours than at first.</summary>
    public static double Growth(double leadHours) => Math.Sqrt(1 + (leadHours / 48.0));

    /// <summary>The hour as neighbouring members have it.</summary>
    private static void Disturb(in SiteHour hour, int first, int lead, Span<SiteHour> members)
    {
        // Up to now the weather is measured or analysed: its error is the distance to the lawn.
        var scale = lead < 0 ? 0.4 : Growth(lead);
        var humid = hour.VapourHPa / VapourCurve.Of(hour.AirC, out _);
        for (var m = 0; m < members.Length; m++)
        {
            var draw = Draws[first + m];
            var humidity = Math.Clamp(humid + (0.06 * scale * draw[1]), 0.05, 1);
            var air = hour.AirC + (DayOneErrorK * scale * draw[0]);
            members[m] = hour with
            {
                AirC = air,
                VapourHPa = humidity * VapourCurve.Of(air, out _),
                WindMS = hour.WindMS * Math.Exp(0.3 * scale * draw[2]),
                LongwaveWM2 = hour.LongwaveWM2 + (12 * scale * draw[3]),
                ShortwaveWM2 = hour.ShortwaveWM2 * Math.Max(0.3, 1 - (0.12 * scale * draw[3])),
                RainMm =
                    lead >= 0 && hour.RainChance is >= 0 and <= 1
                        ? RainOf(first + m, lead / 24, hour.RainMm, hour.RainChance)
                        : hour.RainMm,
            };
        }
    }

    /// <summary>Normal deviates from Halton's sequence, in opposite pairs.</summary>
    private static double[][] MakeDraws()
    {
        int[] bases = [2, 3, 5, 7, 11];
        var draws = new double[Members][];
        for (var m = 0; m < Members; m += 2)
        {
            draws[m] = new double[bases.Length];
            draws[m + 1] = new double[bases.Length];
            for (var d = 0; d < bases.Length; d++)
            {
                var z = NormalQuantile(Halton((m / 2) + 1, bases[d]));
                draws[m][d] = z;
                draws[m + 1][d] = -z;
            }
        }

        // Scaled so that the members' standard deviation is 1 in each direction.
        for (var d = 0; d < bases.Length; d++)
        {
            var spread = Math.Sqrt(draws.Sum(x => x[d] * x[d]) / Members);
            foreach (var x in draws)
            {
                x[d] /= spread;
            }
        }

        return draws;
    }

    private static double Halton(int index, int @base)
    {
        double result = 0,
            fraction = 1;
        for (var i = index; i > 0; i /= @base)
        {
            fraction /= @base;
            result += fraction * (i % @base);
        }

        return result;
    }

    // Logistic approximation; the spread is set right afterwards.
    private static double NormalQuantile(double p) => Math.Log(p / (1 - p)) / 1.702;
}
