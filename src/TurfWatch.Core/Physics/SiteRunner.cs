using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>One run of the model: the central run, its doubt, and the state to keep.</summary>
internal sealed class SiteRunner(
    SiteDescription site,
    SurfaceParameters surface,
    WeatherSeries weather,
    ReadOnlyMemory<SiteHour> hours,
    Instant now,
    PlaceClimate? climate
)
{
    private readonly SiteKernel _kernel = new(surface, site.ElevationM, weather.WindHeightM);
    private readonly double _pressureHPa = Psychrometrics.PressureHPa(site.ElevationM);
    private double _spinUpHours;
    private double _knownHours;
    private int _gap;

    // Of a state carried from an earlier run it is not known what its guess was made from.
    private double _guessStdDevC = FirstGuess.StdDevC;

    /// <summary>The state to keep alone: no hour is written out and no member of the ensemble run.</summary>
    public SiteState StateToKeep(SiteState? carried)
    {
        var keep = Begin(carried);
        var end = Math.Min(KeepIndex, weather.Count);
        for (var i = 0; i < end; i++)
        {
            Advance(i);
        }

        return end < 0 || weather.Count == 0 ? keep : Snapshot(weather.HourEnd(end - 1));
    }

    public SiteRun Run(SiteState? carried)
    {
        var n = weather.Count;
        var nowIndex = Math.Clamp(weather.IndexOf(now + Duration.FromSeconds(1)), 0, n);
        var ensembleFrom = Math.Clamp(nowIndex - SiteEnsemble.PastHours, 0, n);
        var conditions = Empty(n);
        var wetChance = new double[n];
        var age = new double[n];
        var atEnsemble = new SiteKernelState();
        var keepIndex = KeepIndex;
        var keep = Begin(carried);
        double spinUpAtNow = _spinUpHours,
            knownAtNow = _knownHours;
        for (var i = 0; i < n; i++)
        {
            if (i == keepIndex)
            {
                keep = Snapshot(weather.HourEnd(i - 1));
            }

            if (i == ensembleFrom)
            {
                atEnsemble.CopyFrom(_kernel.State);
            }

            if (Advance(i))
            {
                Write(conditions, i, hours.Span[i]);
                wetChance[i] = _kernel.WetAtEnd ? 1 : 0;
            }

            age[i] = _spinUpHours / 24;
            if (i < nowIndex)
            {
                (spinUpAtNow, knownAtNow) = (_spinUpHours, _knownHours);
            }
        }

        if (keepIndex >= n && n > 0)
        {
            keep = Snapshot(weather.LastHourEnd);
        }

        var spread = new double[n];
        if (ensembleFrom < n)
        {
            SiteEnsemble.Run(
                surface,
                site.ElevationM,
                weather.WindHeightM,
                hours.Span,
                atEnsemble,
                ensembleFrom,
                nowIndex,
                wetChance,
                spread
            );
        }

        Doubt(conditions, wetChance, spread, age);
        return new(
            conditions with
            {
                SpinUpDays = spinUpAtNow / 24,
                HistoryCoverage = spinUpAtNow > 0 ? knownAtNow / spinUpAtNow : 0,
            },
            keep
        );
    }

    /// <summary>Index of the first hour after the state to keep; may lie outside.</summary>
    private int KeepIndex => weather.IndexOf(now - SiteModel.KeptBefore + Duration.FromSeconds(1));

    /// <summary>Guesses the soil or takes what was carried; returns the state to keep should no hour be run.</summary>
    private SiteState Begin(SiteState? carried)
    {
        if (carried is not null)
        {
            Load(carried);
            return carried;
        }

        Guess(0);
        return Snapshot(weather.Count == 0 ? now : weather.HourEnd(-1));
    }

    /// <summary>Runs an hour; false when it cannot be run.</summary>
    private bool Advance(int i)
    {
        ref readonly var hour = ref hours.Span[i];
        if (!hour.Usable)
        {
            _gap++;
        }
        else
        {
            if (_gap > SiteModel.LongestGapHours)
            {
                Guess(i);
            }

            _gap = 0;
            _kernel.Step(hour);
        }

        _spinUpHours++;
        _knownHours += hour.Usable && !hour.Bridged ? 1 : 0;
        return hour.Usable;
    }

    private void Guess(int from)
    {
        var day = weather.Count == 0 ? now : weather.HourEnd(from);
        FirstGuess.Fill(
            _kernel.State,
            site,
            surface,
            hours.Span[from..],
            day.InUtc().DayOfYear,
            climate
        );
        _guessStdDevC = FirstGuess.StdDevOf(climate);
        _kernel.Load(_kernel.State);
        _spinUpHours = 0;
        _knownHours = 0;
    }

    private void Load(SiteState carried)
    {
        _kernel.Load(StateOf(carried));
        _spinUpHours = carried.SpinUpDays * 24;
        _knownHours = _spinUpHours * carried.HistoryCoverage;
    }

    /// <summary>The kernel's state of a kept one.</summary>
    public static SiteKernelState StateOf(SiteState carried)
    {
        var state = new SiteKernelState
        {
            LeafWaterMm = carried.LeafWaterMm,
            DewMm = carried.DewMm,
            FrostMm = carried.FrostMm,
            SeasonC = carried.SeasonC,
            SnowMm = carried.SnowMm,
            SnowDepthM = carried.SnowDepthM,
        };
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            state.SoilC[i] = carried.SoilTemperaturesC[i];
            state.SoilIceMm[i] = carried.SoilIceMm[i];
        }

        for (var z = 0; z < SoilWater.Zones; z++)
        {
            state.SoilWaterMm[z] = carried.SoilWaterMm[z];
        }

        return state;
    }

    private SiteState Snapshot(Instant at) =>
        new()
        {
            ValidAt = at,
            SoilTemperaturesC = [.. _kernel.State.SoilC],
            SoilIceMm = [.. _kernel.State.SoilIceMm],
            SoilWaterMm = [.. _kernel.State.SoilWaterMm],
            LeafWaterMm = _kernel.State.LeafWaterMm,
            DewMm = _kernel.State.DewMm,
            FrostMm = _kernel.State.FrostMm,
            SeasonC = _kernel.State.SeasonC,
            SnowMm = _kernel.State.SnowMm,
            SnowDepthM = _kernel.State.SnowDepthM,
            SpinUpDays = _spinUpHours / 24,
            HistoryCoverage = _spinUpHours > 0 ? _knownHours / _spinUpHours : 0,
        };

    private void Write(SiteConditions c, int i, in SiteHour hour)
    {
        var state = _kernel.State;
        c.ShortwaveWM2[i] = hour.ShortwaveWM2;
        c.CanopyTemperatureC[i] = _kernel.LeafC;
        c.SoilTemperature5CmC[i] = SoilGrid.FiveCm.Of(state.SoilC);
        c.SoilTemperature10CmC[i] = SoilGrid.TenCm.Of(state.SoilC);
        c.LeafWaterMm[i] = state.LeafWaterMm;
        c.DewMm[i] = state.DewMm;
        c.FrostMm[i] = state.FrostMm;
        c.LeafWetnessPercent[i] = 100 * _kernel.WetShare;
        c.AvailableWaterFraction[i] = _kernel.AvailableShare;
        c.SurfaceSoilWetness[i] = _kernel.TopWetness;
        c.Et0Mm[i] = ReferenceEvapotranspiration.HourlyFao56Mm(
            new(
                hour.AirC,
                hour.VapourHPa,
                Fao56.WindAt2mMS(hour.WindMS, weather.WindHeightM),
                hour.ShortwaveWM2,
                Radiation.CloudyShortwaveWM2(1, 100 * hour.Cloud),
                _pressureHPa
            )
        );
    }

    private void Doubt(
        SiteConditions c,
        ReadOnlySpan<double> wetChance,
        ReadOnlySpan<double> spread,
        ReadOnlySpan<double> age
    )
    {
        for (var i = 0; i < wetChance.Length; i++)
        {
            if (double.IsNaN(c.LeafWaterMm[i]))
            {
                continue;
            }

            c.WetChancePercent[i] = 100 * wetChance[i];
            var start = _guessStdDevC / (1 + (age[i] / 5));
            c.SoilTemperatureStdDevC[i] = Math.Sqrt(
                (SiteModel.StdDevC * SiteModel.StdDevC) + (start * start) + (spread[i] * spread[i])
            );
        }
    }

    private SiteConditions Empty(int n) =>
        new()
        {
            FirstHourEnd = weather.FirstHourEnd,
            Weather = weather,
            ShortwaveWM2 = Unknown(n),
            CanopyTemperatureC = Unknown(n),
            SoilTemperature5CmC = Unknown(n),
            SoilTemperature10CmC = Unknown(n),
            SoilTemperatureStdDevC = Unknown(n),
            LeafWaterMm = Unknown(n),
            DewMm = Unknown(n),
            FrostMm = Unknown(n),
            LeafWetnessPercent = Unknown(n),
            WetChancePercent = Unknown(n),
            Et0Mm = Unknown(n),
            AvailableWaterFraction = Unknown(n),
            SurfaceSoilWetness = Unknown(n),
            SpinUpDays = 0,
            HistoryCoverage = 0,
        };

    private static double[] Unknown(int n)
    {
        var column = new double[n];
        Array.Fill(column, double.NaN);
        return column;
    }
}
