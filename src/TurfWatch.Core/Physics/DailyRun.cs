namespace TurfWatch.Core.Physics;

/// <summary>
/// The central run alone, written out day by day: the light way for many days, without ensemble and without hourly
/// columns. The canopy goes to rest and greens again with the soil.
/// </summary>
/// <remarks>
/// A warm-season lawn rests once the five-day mean of soil at 10 cm is below 10 °C, and is green again above 14.4 °C; a cool-season
/// lawn rests below 4.4 °C (North Carolina State, Turf Council of NC 2005; Miller 2022: the figures of the grasses' own table).
/// </remarks>
internal sealed class DailyRun
{
    /// <summary>Height of the wind that the hours must have [m].</summary>
    public const double WindHeightM = 10;

    private const int CanopyDays = 5;

    private readonly SurfaceParameters _green;
    private readonly SiteKernel _greenKernel;
    private readonly SiteKernel _dormantKernel;
    private readonly double _pressureHPa;
    private readonly double _restsBelowC;
    private readonly double _greensAboveC;
    private readonly double[] _lastSoilC = new double[CanopyDays];
    private SiteKernel _kernel;
    private int _soilDays;

    public DailyRun(SiteDescription site, SurfaceClass surface)
    {
        _green = SurfaceParameters.For(
            surface with
            {
                Canopy = CanopyState.Active,
            },
            GroundCover.Turf
        );
        var dormant = SurfaceParameters.For(
            surface with
            {
                Canopy = CanopyState.Dormant,
            },
            GroundCover.Turf
        );
        _greenKernel = new(_green, site.ElevationM, WindHeightM);
        _dormantKernel = new(dormant, site.ElevationM, WindHeightM);
        _kernel = _greenKernel;
        _pressureHPa = Psychrometrics.PressureHPa(site.ElevationM);
        (_restsBelowC, _greensAboveC) = surface.WarmSeason ? (10, 14.4) : (4.4, 4.4);
    }

    public SiteKernelState State => _kernel.State;

    /// <summary>The constants of the green lawn, to guess a soil with.</summary>
    public SurfaceParameters Green => _green;

    /// <summary>Goes on from a state.</summary>
    public void Load(SiteKernelState state, CanopyState canopy)
    {
        _kernel = canopy == CanopyState.Active ? _greenKernel : _dormantKernel;
        _kernel.Load(state);
        _soilDays = 0;
    }

    /// <summary>Runs hours of which nothing is written.</summary>
    public void Skip(ReadOnlySpan<SiteHour> hours)
    {
        foreach (ref readonly var hour in hours)
        {
            if (hour.Usable)
            {
                _kernel.Step(hour);
            }
        }
    }

    /// <summary>Runs a local day and writes its row; a row of a day with an hour that cannot be run stays as it is.</summary>
    public void Day(ReadOnlySpan<SiteHour> hours, SiteDays days, int index)
    {
        double soil5 = 0,
            soil10 = 0,
            air = 0,
            rain = 0,
            et0 = 0,
            sun = 0,
            humidity = 0,
            wet = 0;
        var low = double.PositiveInfinity;
        var high = double.NegativeInfinity;
        var known = 0;
        foreach (ref readonly var hour in hours)
        {
            if (!hour.Usable)
            {
                continue;
            }

            known++;
            _kernel.Step(hour);
            soil5 += SoilGrid.FiveCm.Of(State.SoilC);
            soil10 += SoilGrid.TenCm.Of(State.SoilC);
            air += hour.AirC;
            low = Math.Min(low, hour.AirC);
            high = Math.Max(high, hour.AirC);
            rain += hour.RainMm;
            sun += hour.ShortwaveWM2;
            humidity += Math.Min(1, hour.VapourHPa / VapourCurve.Of(hour.AirC, out _));
            wet += _kernel.WetShare;
            et0 += ReferenceEvapotranspiration.HourlyFao56Mm(
                new(
                    hour.AirC,
                    hour.VapourHPa,
                    Fao56.WindAt2mMS(hour.WindMS, WindHeightM),
                    hour.ShortwaveWM2,
                    Radiation.CloudyShortwaveWM2(1, 100 * hour.Cloud),
                    _pressureHPa
                )
            );
        }

        if (known < hours.Length || known == 0)
        {
            return;
        }

        days.Soil5CmC[index] = soil5 / known;
        days.Soil10CmC[index] = soil10 / known;
        days.AirMeanC[index] = air / known;
        days.AirMinC[index] = low;
        days.AirMaxC[index] = high;
        days.RainMm[index] = rain;
        days.Et0Mm[index] = et0;
        days.ShortwaveMJM2[index] = 0.0036 * sun;
        days.HumidityPercent[index] = 100 * humidity / known;
        days.WetHours[index] = wet;
        days.AvailableWater[index] = _kernel.AvailableShare;
        Season(soil10 / known);
    }

    private void Season(double soilC)
    {
        _lastSoilC[_soilDays++ % CanopyDays] = soilC;
        if (_soilDays < CanopyDays)
        {
            return;
        }

        var mean = _lastSoilC.Average();
        var green = ReferenceEquals(_kernel, _greenKernel);
        if (green ? mean < _restsBelowC : mean > _greensAboveC)
        {
            var other = green ? _dormantKernel : _greenKernel;
            other.Load(State);
            _kernel = other;
        }
    }
}
